/* Shows what the engine computed: it looks up, hides and shows, and computes nothing. */
(function () {
  "use strict";
  var page = document;
  function get(id) { return page.getElementById(id); }
  function all(where, what) { return Array.prototype.slice.call(where.querySelectorAll(what)); }
  var slide = get("slide");
  if (slide) {
    var told = JSON.parse(get("slide-data").textContent), at = get("slide-at"), said = get("slide-said");
    var cells = all(slide, "[data-cell]");
    var show = function () {
      var one = told[at.value];
      said.textContent = one.said;
      at.setAttribute("aria-valuetext", one.said);
      cells.forEach(function (cell) { cell.textContent = one.prices[cell.getAttribute("data-cell")]; });
    };
    at.addEventListener("input", show);
    slide.hidden = false;
    show();
  }
  var pick = get("pick");
  if (pick) {
    all(pick, "input").forEach(function (box) {
      box.checked = true;
      box.addEventListener("change", function () {
        all(page, '[data-who="' + box.value + '"]').forEach(function (row) { row.hidden = !box.checked; });
      });
    });
    pick.hidden = false;
  }
  var find = get("find");
  if (find) {
    var field = get("find-text"), count = get("find-count"), groups = all(page, ".entries"), entries = all(page, ".entry");
    var words = entries.map(function (one) { return one.textContent.toLowerCase(); });
    var look = function () {
      var wanted = field.value.toLowerCase().trim();
      var left = entries.filter(function (one, i) {
        one.hidden = wanted !== "" && words[i].indexOf(wanted) < 0;
        return !one.hidden;
      });
      groups.forEach(function (group) { group.hidden = !group.querySelector(".entry:not([hidden])"); });
      count.textContent = wanted === "" ? "" : left.length + " found";
    };
    field.addEventListener("input", look);
    find.hidden = false;
  }
})();
