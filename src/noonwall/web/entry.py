"""The page that asks a device for its code; it stands alone, so that nothing else is served before."""

from __future__ import annotations

import base64
import hashlib
import html

STYLE = """
:root { --paper: #fbf8f2; --ink: #22303a; --ember: #9a3412; --ember-ink: #fff; --bad: #9b1c1c; }
@media (prefers-color-scheme: dark) {
  :root { --paper: #12181d; --ink: #eef0ee; --ember: #ffb38f; --ember-ink: #2a1006; --bad: #ffaaa5; } }
body { background: var(--paper); color: var(--ink); font: 18px/1.5 "DejaVu Sans", system-ui, sans-serif; margin: 0; }
main { max-width: 34rem; margin: 0 auto; padding: 1.2rem; }
input, button { font: inherit; min-height: 48px; box-sizing: border-box; width: 100%; margin-top: .4rem; }
input { padding: 0 .7rem; letter-spacing: .06em; border: 2px solid currentColor; border-radius: 8px;
  background: transparent; color: inherit; }
button { background: var(--ember); color: var(--ember-ink); border: 0; border-radius: 8px; margin-top: 1rem; }
:focus-visible { outline: 3px solid var(--ember); outline-offset: 3px; } .bad { color: var(--bad); font-weight: 650; }
"""
# The code of the QR picture stands after the # of the address, which browsers keep to themselves.
SCRIPT = """
const code = decodeURIComponent(location.hash.slice(1));
if (code) { document.getElementById('code').value = code; }
"""


def _hash(text: str) -> str:
    return "'sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() + "'"


POLICY = (
    f"default-src 'none'; script-src {_hash(SCRIPT)}; style-src {_hash(STYLE)}; img-src data:; "
    "form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)


REFERRER = "same-origin"  # without it the browser hides where the form comes from, and the door refuses it


def page(refused: str = "") -> str:
    """Return the page; ``refused`` tells why the last code did not do."""
    told = f'<p class="bad" role="alert">{html.escape(refused)}</p>' if refused else ""
    return f"""<!doctype html>
<html lang="en-US"><head><meta charset="utf-8"><title>Code - noonwall</title><link rel="icon" href="data:,">
<meta name="viewport" content="width=device-width, initial-scale=1"><style>{STYLE}</style></head>
<body><main><h1>Which code does the terminal show?</h1>
<p>This workbench runs on another machine here. The terminal it was started in shows a code for one device.</p>
{told}<form method="post" action="/enter"><label for="code">Code</label>
<input id="code" name="code" autocomplete="off" autocapitalize="characters" spellcheck="false" maxlength="40" required>
<button>Open it on this device</button></form></main><script>{SCRIPT}</script></body></html>
"""
