// Makes a page ready for paper: folds of figures open, pictures fetched, charts drawn as wide as a sheet.
(() => {
  const SHEET_PX = 690, RESTED_MS = 60000, LOOK_MS = 5000;
  const opened = [];
  const chartOf = (place) => {
    try { return window.getElement(Number(place.id.slice(1))).chart; } catch { return undefined; }
  };
  const size = (width) => document.querySelectorAll(".nw-chart").forEach((place) => {
    const chart = chartOf(place);
    if (!chart) return;
    chart.resize({ width, height: "auto" });
    chart.getZr().flush();
  });
  const fetchPictures = () => document.querySelectorAll("img.nw-by-day[loading=lazy]").forEach((picture) => {
    if (!picture.closest("details:not([open])")) picture.loading = "eager";
  });
  let onPaper = false;
  const ready = () => {
    if (onPaper) return;
    onPaper = true;
    document.querySelectorAll(".nw-figures:not([open])").forEach((fold) => {
      fold.open = true;
      opened.push(fold);
    });
    fetchPictures();
    size(SHEET_PX);
  };
  const back = () => {
    if (!onPaper) return;
    onPaper = false;
    opened.splice(0).forEach((fold) => { fold.open = false; });
    size("auto");
  };
  addEventListener("beforeprint", ready);
  addEventListener("afterprint", back);
  matchMedia("print").addEventListener("change", (media) => (media.matches ? ready() : back()));
  // A print does not wait for a picture that was never scrolled to: it is fetched once nobody has touched the page, nor
  // an answer come, for a minute. Drawing takes the calculator's time, so no sooner.
  let touched = performance.now(), waiting = 0;
  const touch = () => { touched = performance.now(); };
  for (const sign of ["keydown", "pointerdown", "wheel", "touchmove"]) addEventListener(sign, touch, { passive: true });
  setInterval(() => {
    const many = document.querySelectorAll("img.nw-by-day[loading=lazy]").length;
    if (many !== waiting) touch();
    waiting = many;
    if (many === 0 || performance.now() - touched < RESTED_MS) return;
    if (document.visibilityState === "visible" && !document.body.classList.contains("body--dark")) fetchPictures();
  }, LOOK_MS);
})();
