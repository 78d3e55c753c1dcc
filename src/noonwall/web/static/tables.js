// Tells of every table that is wider than its place that more of it lies at the side; a table that fits stays as it is.
(() => {
  const hint = matchMedia("(pointer: coarse)").matches
    ? "More at the right: swipe sideways" : "More at the right: scroll sideways, or click in it and press the arrow keys";
  const PLACES = ".nw-table";
  const look = (table) => {
    const runs = table.scrollWidth > table.clientWidth + 1;
    const end = table.scrollLeft + table.clientWidth >= table.scrollWidth - 2;
    table.classList.toggle("nw-more", runs && !end);
    let told = table.previousElementSibling;
    if (!told || !told.classList.contains("nw-more-told")) {
      if (!runs) return;
      told = document.createElement("p");
      told.className = "nw-more-told nw-noprint";
      told.textContent = hint;
      table.before(told);
    }
    told.hidden = !runs;
  };
  const sizes = new ResizeObserver((found) => found.forEach((one) => {
    const place = one.target.closest(PLACES); // none for what was taken off the page meanwhile
    if (place) look(place);
  }));
  const known = new WeakSet();
  const meet = () => document.querySelectorAll(PLACES).forEach((table) => {
    const inner = table.firstElementChild;
    if (inner && !known.has(inner)) {
      known.add(inner);
      sizes.observe(inner);
    }
    if (known.has(table)) return;
    known.add(table);
    sizes.observe(table);
    table.addEventListener("scroll", () => look(table), { passive: true });
    look(table);
  });
  const begin = () => {
    new MutationObserver(meet).observe(document.body, { childList: true, subtree: true });
    meet();
  };
  if (document.body) begin(); else addEventListener("DOMContentLoaded", begin);
})();
