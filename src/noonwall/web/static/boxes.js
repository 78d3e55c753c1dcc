// Tells at once in the header that a box holds what is typed but not taken yet; the server hears of it only when it is left.
(() => {
  const BOX = '[id^="box-"] input, [id^="box-"] textarea';
  const TAKEN_MS = 400; // until then the server has said what became of it, or there was nothing to say
  let before = "", turn = 0, left = false;
  const mark = (typing) => {
    document.documentElement.classList.toggle("nw-typing", typing);
    const told = document.querySelector(".nw-saved-yet");
    const words = typing ? "Not saved yet" : "";
    if (told && told.textContent !== words) told.textContent = words;
  };
  const isBox = (e) => e.target instanceof Element && e.target.matches(BOX);
  const taken = (e) => {
    before = e.target.value;
    left = true;
    const mine = ++turn;
    setTimeout(() => { if (mine === turn) mark(false); }, TAKEN_MS);
  };
  const answered = new MutationObserver(() => { if (left) mark(false); });
  const watch = () => {
    const now = document.querySelector(".nw-saved-now");
    if (now) answered.observe(now, { childList: true, characterData: true, subtree: true });
  };
  document.addEventListener("focusin", (e) => { if (isBox(e)) { before = e.target.value; watch(); } });
  document.addEventListener("input", (e) => { if (isBox(e)) { turn += 1; left = false; mark(e.target.value !== before); } });
  document.addEventListener("focusout", (e) => { if (isBox(e)) taken(e); });
  document.addEventListener("keydown", (e) => { if (e.key === "Enter" && isBox(e)) taken(e); });
})();
