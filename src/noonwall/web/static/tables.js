// Tells of every table that is wider than its place that more of it lies at the side; a table that fits stays as it is.
(() => {
  const hint = matchMedia("(pointer: coarse)").matches
    ? "More at the right: swipe sideways" : "More at the right: scroll sideways, or click in it and press the arrow keys";
  const look = (table) => {
    const runs = table.scrollWidth > table.clientWidth + 1;
    const end = table.scrollLeft + table.clientWidth >= table.scrollWidth - 2;
    let told = table.previousElementSibling;
    if (!told || !told.classList.contains("nw-more-told")) {
      if (!runs) return;
      told = document.createElement("p");
      told.className = "nw-more-told nw-noprint";
      told.textContent = hint;
      table.before(told);
    }
    told.hidden = !runs;
    table.classList.toggle("nw-more", runs && !end);
  };
  const sizes = new ResizeObserver((found) => found.forEach((one) => look(one.target.closest(".nw-table"))));
  const known = new WeakSet();
  const meet = () => document.querySelectorAll(".nw-table").forEach((table) => {
    if (known.has(table)) return;
    known.add(table);
    sizes.observe(table);
    if (table.firstElementChild) sizes.observe(table.firstElementChild);
    table.addEventListener("scroll", () => look(table), { passive: true });
    look(table);
  });
  const begin = () => {
    new MutationObserver(meet).observe(document.body, { childList: true, subtree: true });
    meet();
  };
  if (document.body) begin(); else addEventListener("DOMContentLoaded", begin);
})();
