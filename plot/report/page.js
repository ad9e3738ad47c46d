// The gear picker: draws the side view of the chosen gear from the numbers in
// the page. It lays lines where the solver has put the wheels and computes no
// figure.
(function () {
'use strict';
var half = Math.PI / 2, turn = 2 * Math.PI, lower = 1;

// touch is where a run in a direction leaves or meets a wheel.
function touch(w, direction) {
  var a = direction - w.spin * half;
  return [w.at[0] + w.r * Math.cos(a), w.at[1] + w.r * Math.sin(a)];
}

// run is the tangent from one wheel to the next, null when there is none.
function run(a, b) {
  var dx = b.at[0] - a.at[0], dy = b.at[1] - a.at[1];
  var k = (b.spin * b.r - a.spin * a.r) / Math.hypot(dx, dy);
  if (!(Math.abs(k) < 1)) return null;
  var d = Math.atan2(dy, dx) - Math.asin(k);
  return {direction: d, from: touch(a, d), to: touch(b, d)};
}

function runs(g) {
  if (!g.path) return null;
  var list = g.wheels.map(function (w, i) { return run(w, g.wheels[(i + 1) % 4]); });
  return list.indexOf(null) < 0 ? list : null;
}

function point(p) { return p[0].toFixed(2) + ' ' + p[1].toFixed(2); }

// pins visits every pin from where the chain meets the cog, with its wheel.
function pins(g, way, pitch, visit) {
  var next = 0;
  g.wheels.forEach(function (w, i) {
    var from = way[(i + 3) % 4].direction - w.spin * half, step = turn / w.teeth;
    for (; next * step < w.wrap; next++) {
      var a = from + w.spin * next * step;
      visit([w.at[0] + w.r * Math.cos(a), w.at[1] + w.r * Math.sin(a)], i, a);
    }
    next -= w.wrap / step;
    var r = way[i], length = Math.hypot(r.to[0] - r.from[0], r.to[1] - r.from[1]);
    for (; next * pitch < length; next++) {
      var t = next * pitch / length;
      visit([r.from[0] + t * (r.to[0] - r.from[0]), r.from[1] + t * (r.to[1] - r.from[1])], -1 - i, 0);
    }
    next -= length / pitch;
  });
}

// toothed is the outline of a wheel: flat teeth between root and tip.
function toothed(w, phase) {
  var flank = w.root + 0.3 * (w.tip - w.root), d = '';
  var shape = [[-0.27, flank], [-0.14, w.root], [0.14, w.root], [0.27, flank], [0.39, w.tip], [0.61, w.tip]];
  for (var k = 0; k < w.teeth; k++) shape.forEach(function (s) {
    var a = phase + turn * (k + s[0]) / w.teeth;
    d += (d ? 'L' : 'M') + point([w.at[0] + s[1] * Math.cos(a), w.at[1] + s[1] * Math.sin(a)]);
  });
  return d + 'Z';
}

// sag is how deep a run hangs that is too long, for the eye.
function sag(g, chord) { return Math.min(Math.sqrt(0.375 * chord * g.over), 0.4 * chord); }

// lowerRun is straight, open where the chain does not reach, or hanging.
function lowerRun(g, r) {
  var dx = r.to[0] - r.from[0], dy = r.to[1] - r.from[1], chord = Math.hypot(dx, dy);
  function at(t) { return [r.from[0] + t * dx, r.from[1] + t * dy]; }
  if (g.state === 'locks') {
    var share = Math.min(Math.max(g.missing, 12) / chord, 0.5) / 2;
    return 'M' + point(r.from) + 'L' + point(at(0.5 - share)) + 'M' + point(at(0.5 + share)) + 'L' + point(r.to);
  }
  if (g.state !== 'slack') return 'M' + point(r.from) + 'L' + point(r.to);
  var mid = at(0.5);
  return 'M' + point(r.from) + 'Q' + point([mid[0], mid[1] - 2 * sag(g, chord)]) + ' ' + point(r.to);
}

function arc(w, before, after) {
  return 'M' + point(touch(w, before)) + 'A' + w.r + ' ' + w.r + ' 0 ' + (w.wrap > Math.PI ? 1 : 0) + ' ' + (w.spin > 0 ? 1 : 0) + ' ' + point(touch(w, after));
}

function path(d, style) { return '<path d="' + d + '" ' + style + '/>'; }

// drawing is the inside of the picture of one gear.
function drawing(g, data) {
  var way = runs(g), colour = g.danger ? 'var(--danger)' : 'var(--ink)', phases = [0, 0, 0, 0], dots = '', out = '';
  var unsound = g.state === 'locks' || g.state === 'slack';
  if (way) pins(g, way, data.pitch, function (p, wheel, a) {
    if (wheel >= 0) phases[wheel] = a;
    if (!unsound || wheel !== -1 - lower) dots += 'M' + point(p) + 'h0';
  });
  g.wheels.forEach(function (w, i) {
    if (!g.path && i > 1) return;
    out += path(toothed(w, phases[i]), 'fill="var(--ink)" fill-opacity=".1" stroke="var(--muted)" stroke-width=".8"');
    out += path('M' + point(w.at) + 'h0', 'stroke="var(--muted)" stroke-width="5" stroke-linecap="round"');
  });
  if (way) {
    var body = '', low = lowerRun(g, way[lower]);
    g.wheels.forEach(function (w, i) {
      body += arc(w, way[(i + 3) % 4].direction, way[i].direction);
      body += i === lower ? low : 'M' + point(way[i].from) + 'L' + point(way[i].to);
    });
    if (unsound) out += path('M' + point(way[lower].from) + 'L' + point(way[lower].to), 'stroke="var(--muted)" stroke-width="1.2" stroke-dasharray="5 4" fill="none"');
    out += path(body, 'class="chain" fill="none" stroke="' + colour + '" stroke-width="8"');
    out += path(body, 'fill="none" stroke="var(--paper)" stroke-width="5.2"') + path(body, 'fill="none" stroke="' + colour + '" stroke-opacity=".3" stroke-width="5.2"');
    out += path(dots, 'fill="none" stroke="' + colour + '" stroke-width="2.8" stroke-linecap="round"');
  }
  if (g.path) out += path('M' + point(g.pivot) + 'L' + point(g.wheels[3].at) + 'L' + point(g.wheels[2].at) + 'Z',
    'fill="var(--accent)" fill-opacity=".3" stroke="var(--accent)" stroke-opacity=".3" stroke-width="14" stroke-linejoin="round"') +
    path('M' + point(g.pivot) + 'h0', 'stroke="var(--accent)" stroke-width="9" stroke-linecap="round"');
  return out + path('M' + point(data.hanger) + 'h0', 'stroke="var(--muted)" stroke-width="7" stroke-linecap="round"');
}

function label(x, y, size, text) {
  return '<text x="' + x.toFixed(1) + '" y="' + y.toFixed(1) + '" font-size="' + size.toFixed(1) + '" text-anchor="middle" fill="var(--ink)">' + text + '</text>';
}

// frame holds all gears of a build, so that they are drawn at one scale.
function frame(data) {
  var f = [1e9, 1e9, -1e9, -1e9];
  data.gears.forEach(function (g) {
    g.wheels.forEach(function (w, i) {
      if (!g.path && i > 1) return;
      f[0] = Math.min(f[0], w.at[0] - w.tip); f[2] = Math.max(f[2], w.at[0] + w.tip);
      f[1] = Math.min(f[1], -w.at[1] - w.tip); f[3] = Math.max(f[3], -w.at[1] + w.tip);
    });
    var way = g.over > 0 ? runs(g) : null, r = way && way[lower];
    if (r) f[3] = Math.max(f[3], sag(g, Math.hypot(r.to[0] - r.from[0], r.to[1] - r.from[1])) - (r.from[1] + r.to[1]) / 2 + 4);
  });
  return [f[0] - 8, f[1] - 8, f[2] - f[0] + 16, f[3] - f[1] + 45];
}

function bar(f) {
  var x = f[0] + f[2] - 112, y = f[1] + f[3] - 6;
  return path('M' + point([x, y - 4]) + 'v4h100v-4', 'fill="none" stroke="var(--ink)" stroke-width="1.2"') + label(x + 50, y - 6, f[2] / 32, '100 mm');
}

function show(box, data, f, i) {
  var g = data.gears[i], svg = box.querySelector('svg'), list = box.querySelector('dl');
  box.querySelectorAll('button').forEach(function (b) {
    var on = +b.dataset.gear === i;
    b.setAttribute('aria-checked', on);
    b.tabIndex = on ? 0 : -1;
  });
  svg.querySelectorAll('g').forEach(function (old) { old.remove(); });
  svg.setAttribute('viewBox', f.map(function (x) { return x.toFixed(1); }).join(' '));
  svg.setAttribute('data-gear', g.name);
  svg.querySelector('title').textContent = 'Side view of ' + g.name;
  svg.querySelector('desc').textContent = g.alt;
  var all = document.createElementNS(svg.namespaceURI, 'g');
  all.innerHTML = '<g transform="scale(1 -1)">' + drawing(g, data) + '</g>' +
    g.wheels.slice(0, 2).map(function (w) { return label(w.at[0], -w.at[1] + f[2] / 28, f[2] / 32, w.teeth); }).join('') + bar(f);
  svg.appendChild(all);
  box.querySelector('figcaption').textContent = g.name + ': ' + g.state + '. Drive side, front to the right, to scale.';
  list.textContent = '';
  g.figures.forEach(function (v) {
    var name = document.createElement('dt'), text = document.createElement('dd');
    name.textContent = v.name;
    text.textContent = v.text;
    list.append(name, text);
  });
}

// neighbour is the button an arrow key leads to.
function neighbour(box, button, key) {
  var rows = Array.prototype.slice.call(box.querySelectorAll('.row')), row = rows.indexOf(button.parentNode);
  var list = row < 0 ? [] : Array.prototype.slice.call(rows[row].querySelectorAll('button')), at = list.indexOf(button);
  switch (key) {
  case 'ArrowLeft': return list[at - 1];
  case 'ArrowRight': return list[at + 1];
  case 'Home': return list[0];
  case 'End': return list[list.length - 1];
  case 'ArrowUp': row--; break;
  case 'ArrowDown': row++; break;
  default: return null;
  }
  return rows[row] && rows[row].querySelectorAll('button')[at];
}

document.querySelectorAll('.views').forEach(function (box) {
  var data = JSON.parse(box.querySelector('script').textContent), f = frame(data), gears = box.querySelector('.gears');
  gears.addEventListener('click', function (e) {
    var b = e.target.closest('button');
    if (b) show(box, data, f, +b.dataset.gear);
  });
  gears.addEventListener('keydown', function (e) {
    if (e.altKey || e.ctrlKey || e.metaKey || !/^(Arrow|Home$|End$)/.test(e.key) || e.target.tagName !== 'BUTTON') return;
    e.preventDefault();
    var b = neighbour(box, e.target, e.key);
    if (!b) return;
    show(box, data, f, +b.dataset.gear);
    b.focus();
  });
  box.hidden = false;
  show(box, data, f, +box.querySelector('button').dataset.gear);
});
})();
