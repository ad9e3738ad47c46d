// Runs in a page that holds the report in frames; writes what it finds into
// the document as JSON, where the test reads it.
'use strict';
function luminance(c) {
  return c.slice(0, 3).map(function (v) { v /= 255; return v <= 0.04045 ? v / 12.92 : Math.pow((v + 0.055) / 1.055, 2.4); })
    .reduce(function (sum, v, i) { return sum + v * [0.2126, 0.7152, 0.0722][i]; }, 0);
}
function rgba(text) {
  var m = text.match(/[\d.]+/g).map(Number);
  return m.length < 4 ? m.concat(1) : m;
}
function contrast(a, b) {
  var l = [luminance(a), luminance(b)].sort(function (x, y) { return y - x; });
  return (l[0] + 0.05) / (l[1] + 0.05);
}
function behind(win, e) {
  for (; e; e = e.parentElement) {
    var c = rgba(win.getComputedStyle(e).backgroundColor);
    if (c[3] > 0) return c;
  }
  return [255, 255, 255, 1];
}
function name(e) { return e.tagName + (e.id ? '#' + e.id : '') + ' ' + e.textContent.trim().slice(0, 40); }

function lowContrast(win) {
  var bad = [], walk = win.document.createTreeWalker(win.document.body, NodeFilter.SHOW_TEXT), n;
  while ((n = walk.nextNode())) {
    var e = n.parentElement;
    if (!n.data.trim() || !e.getClientRects().length || e.closest('script,style,title,desc')) continue;
    var s = win.getComputedStyle(e), c = contrast(rgba(e.closest('svg') ? s.fill : s.color), behind(win, e));
    if (c < 4.5) bad.push(c.toFixed(2) + ' ' + name(e));
  }
  var root = win.getComputedStyle(win.document.documentElement);
  ['--ink', '--muted', '--danger', '--accent'].forEach(function (v) {
    var probe = win.document.createElement('i');
    probe.style.color = 'var(' + v + ')';
    win.document.body.append(probe);
    var c = contrast(rgba(win.getComputedStyle(probe).color), behind(win, probe));
    probe.remove();
    if (c < 4.5) bad.push(c.toFixed(2) + ' ' + v);
  });
  return bad;
}

function tooWide(win, width) {
  var bad = [], right = Math.min(width, win.document.body.getBoundingClientRect().right);
  win.document.body.querySelectorAll('*').forEach(function (e) {
    if (e.closest('svg') && e.tagName !== 'svg' || !e.getClientRects().length) return;
    var r = e.getBoundingClientRect();
    if (r.right > right + 0.5 || r.left < -0.5) bad.push(r.left.toFixed(0) + '-' + r.right.toFixed(0) + ' ' + name(e));
  });
  if (win.document.documentElement.scrollWidth > width) bad.push('scrolls to ' + win.document.documentElement.scrollWidth);
  return bad;
}

function nameless(win) {
  var bad = [];
  win.document.querySelectorAll('svg,img,canvas').forEach(function (e) {
    if (e.getAttribute('aria-hidden') === 'true') return;
    var t = e.querySelector('title'), d = e.querySelector('desc');
    if (e.getAttribute('role') !== 'img' || !t || !t.textContent.trim() || !d || !d.textContent.trim()) bad.push(name(e));
  });
  return bad;
}

function shown(win) {
  var n = 0;
  win.document.querySelectorAll('svg').forEach(function (e) { if (e.getBoundingClientRect().width > 0) n++; });
  return n;
}

// state is what the picker shows.
function state(box) {
  var open = Array.prototype.filter.call(box.querySelectorAll('figure'), function (f) { return f.getClientRects().length > 0; });
  var svg = open[0].querySelector('svg'), on = box.querySelectorAll('[aria-checked=true]'), chain = svg.querySelector('.chain path');
  return {
    gear: open.length === 1 ? open[0].dataset.gear : open.length + ' gears', title: svg.querySelector('title').textContent, alt: svg.querySelector('desc').textContent,
    pressed: on.length === 1 ? on[0].getAttribute('aria-label') : on.length + ' buttons', caption: open[0].querySelector('figcaption').textContent,
    chain: chain ? chain.getTotalLength() : 0, drawing: svg.innerHTML.length,
    figures: Array.prototype.map.call(open[0].querySelectorAll('dt'), function (e) { return {name: e.textContent, text: e.nextSibling.textContent}; }),
    focused: box.ownerDocument.activeElement.getAttribute('aria-label')
  };
}

function pick(win) {
  var box = win.document.querySelector('.views'), clicks = [], keys = [];
  box.querySelectorAll('button').forEach(function (b) { b.click(); clicks.push(state(box)); });
  var first = box.querySelector('button');
  first.click();
  first.focus();
  ['ArrowRight', 'ArrowRight', 'ArrowDown', 'ArrowLeft', 'End', 'ArrowUp', 'ArrowUp', 'Home', 'Enter'].forEach(function (key) {
    var e = new win.KeyboardEvent('keydown', {key: key, bubbles: true, cancelable: true});
    win.document.activeElement.dispatchEvent(e);
    keys.push({key: key, kept: !e.defaultPrevented, gear: state(box).gear, focused: state(box).focused});
  });
  return {clicks: clicks, keys: keys, hidden: box.querySelector('.pick').hidden};
}

window.onload = function () {
  var found = {}, errors = window.errors || [];
  ['phone', 'dark', 'wide', 'bare'].forEach(function (id) {
    var win = document.getElementById(id).contentWindow, width = id === 'wide' ? 1200 : 360;
    found[id] = {
      low: lowContrast(win), wide: tooWide(win, width), nameless: nameless(win), shown: shown(win), errors: win.errors || [],
      requests: win.performance.getEntriesByType('resource').map(function (r) { return r.name; }),
      paper: win.getComputedStyle(win.document.body).backgroundColor, picker: !win.document.querySelector('.pick').hidden
    };
  });
  found.picker = pick(document.getElementById('phone').contentWindow);
  found.phone.after = tooWide(document.getElementById('phone').contentWindow, 360);
  document.getElementById('found').textContent = JSON.stringify(found);
};
