// Keeps what is jumped to, or stepped into by key, below the header and the strip of key figures, however high they are.
(() => {
  const root = document.documentElement;
  const look = () => {
    const strip = document.querySelector(".nw-strip");
    const sticks = strip && getComputedStyle(strip).position === "sticky";
    const under = sticks ? parseFloat(getComputedStyle(strip).top) + strip.offsetHeight : 0;
    if (under) root.style.setProperty("--nw-under", `${Math.ceil(under)}px`);
    else root.style.removeProperty("--nw-under");
  };
  const begin = () => {
    const strip = document.querySelector(".nw-strip");
    if (!strip) return;
    new ResizeObserver(look).observe(strip);
    addEventListener("resize", look);
    look();
    // What was jumped to by the address was placed before the strip had its height.
    if (location.hash.length > 1) document.getElementById(decodeURIComponent(location.hash.slice(1)))?.scrollIntoView();
  };
  const wait = () => (document.querySelector(".nw-strip") ? begin() : setTimeout(wait, 50));
  if (document.body) wait(); else addEventListener("DOMContentLoaded", wait);
})();
