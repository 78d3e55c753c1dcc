// Keeps what is jumped to, or stepped into by key, below the header and the strip of key figures, however high they are.
(() => {
  const root = document.documentElement, NO_STRIP_MS = 30000; // some pages have none
  // What the address names is placed anew while the page still fills, until somebody moves it.
  let jump = location.hash.length > 1 ? decodeURIComponent(location.hash.slice(1)) : "";
  const stay = () => { jump = ""; };
  for (const what of ["wheel", "touchstart", "keydown", "pointerdown"]) addEventListener(what, stay, { once: true, passive: true });
  setTimeout(stay, 15000);
  const look = () => {
    const strip = document.querySelector(".nw-strip");
    const sticks = strip && getComputedStyle(strip).position === "sticky";
    const under = sticks ? parseFloat(getComputedStyle(strip).top) + strip.offsetHeight : 0;
    if (under) root.style.setProperty("--nw-under", `${Math.ceil(under)}px`);
    else root.style.removeProperty("--nw-under");
    if (jump) document.getElementById(jump)?.scrollIntoView();
  };
  const begin = (strip) => {
    const sizes = new ResizeObserver(look);
    sizes.observe(strip);
    sizes.observe(document.querySelector(".nw-page"));
    addEventListener("resize", look);
  };
  const wait = () => {
    const strip = document.querySelector(".nw-strip");
    if (strip) begin(strip);
    else if (performance.now() < NO_STRIP_MS) setTimeout(wait, 50);
  };
  if (document.body) wait(); else addEventListener("DOMContentLoaded", wait);
})();
