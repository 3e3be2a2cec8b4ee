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
    var field = get("find-text"), count = get("find-count"), groups = all(page, ".entries"), entries = all(page, ".entries li");
    var words = entries.map(function (one) { return one.textContent.toLowerCase(); });
    var look = function () {
      var wanted = field.value.toLowerCase().trim();
      var left = entries.filter(function (one, i) {
        one.hidden = wanted !== "" && words[i].indexOf(wanted) < 0;
        return !one.hidden;
      });
      groups.forEach(function (group) { group.hidden = !group.querySelector("li:not([hidden])"); });
      count.textContent = wanted === "" ? "" : left.length + " found";
    };
    field.addEventListener("input", look);
    find.hidden = false;
    /* Where a calculation is used: the formulas of the page read backwards. Inputs have it written out. */
    var users = {};
    entries.forEach(function (one) {
      all(one, "p a").forEach(function (link) {
        var made = link.getAttribute("href").slice(1);
        (users[made] = users[made] || []).push(one);
      });
    });
    entries.forEach(function (one) {
      var some = users[one.id] || [];
      if (!some.length || one.querySelector("[data-used]")) return;
      var line = one.appendChild(page.createElement("small"));
      line.append("Used in ");
      some.slice(0, 12).forEach(function (user, i) {
        var link = page.createElement("a");
        link.href = "#" + user.id;
        var home = user.closest("section"), away = home !== one.closest("section");
        link.textContent = user.querySelector("b").textContent + (away ? " (" + home.querySelector("h2").textContent + ")" : "");
        line.append(i ? ", " : "", link);
      });
      if (some.length > 12) line.append(" and " + (some.length - 12) + " more");
    });
  }
})();
