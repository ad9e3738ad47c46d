// The gear picker: shows the side view of one gear, with its figures, out of
// those in the page. Without it all of them are there to see.
(function () {
'use strict';

function show(box, name) {
  box.querySelectorAll('button').forEach(function (b) {
    var on = b.dataset.gear === name;
    b.setAttribute('aria-checked', on);
    b.tabIndex = on ? 0 : -1;
  });
  box.querySelectorAll('figure').forEach(function (f) { f.hidden = f.dataset.gear !== name; });
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
  var pick = box.querySelector('.pick');
  pick.addEventListener('click', function (e) {
    var b = e.target.closest('button');
    if (b) show(box, b.dataset.gear);
  });
  pick.addEventListener('keydown', function (e) {
    if (e.altKey || e.ctrlKey || e.metaKey || !/^(Arrow|Home$|End$)/.test(e.key) || e.target.tagName !== 'BUTTON') return;
    e.preventDefault();
    var b = neighbour(box, e.target, e.key);
    if (!b) return;
    show(box, b.dataset.gear);
    b.focus();
  });
  pick.hidden = false;
  box.querySelector('.every').setAttribute('aria-live', 'polite');
  show(box, box.querySelector('button').dataset.gear);
});
})();
