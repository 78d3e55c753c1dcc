"""The answer to one question on a page: kept visible while a newer one is calculated, and marked old till then."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING
from urllib.parse import quote

from nicegui import ui

from noonwall.web.frame import on_change

if TYPE_CHECKING:
    from collections.abc import Callable

    from nicegui import Client

    from noonwall.web.asked import Answer
    from noonwall.web.bench import Bench, Options, Result


PREPARING = (
    " The calculator is made ready, once on this machine: about a minute, on a busy one two; the next times this takes "
    "seconds."
)
MANY_STEPS, FEWEST_STEPS = 20, 5  # of a calculation whose time left is told, and that must be done before


def answer_card(
    bench: Bench,
    question: str,
    draw: Callable[[Result, Answer], None],
    options: Options = (),
) -> Result:
    """Show the answer to a question here, calculated anew by itself after every change.

    draw     draws an answer, called with the drawer and the answer; called again for each new one
    Returns  the question's drawer
    """
    result = bench.result(question, options)
    client = ui.context.client
    with ui.column().classes("w-full gap-2"):
        progress = _Progress()
        body = ui.column().classes("w-full gap-4")
    shown: list[Answer | None] = [None]

    def show() -> None:
        if body.is_deleted:
            end()
            return
        with client:
            progress.show(result)
            if result.answer is not None and result.answer is not shown[0]:
                shown[0] = result.answer
                body.clear()
                with body:
                    draw(result, result.answer)
            body.classes(**{"add" if result.old else "remove": "nw-faded"})

    end = _watch_while_shown(client, result, show, body)
    on_change(bench, show)
    return result


def _watch_while_shown(
    client: Client, result: Result, show: Callable[[], None], place: ui.element
) -> Callable[[], None]:
    """Watch an answer as long as its place on the page is there; a window that sleeps asks for nothing.

    Returns  what ends it
    """
    ends: list[Callable[[], None]] = []

    def begin() -> None:
        if not ends and not place.is_deleted:
            ends.append(result.watch(show))
            show()

    def end() -> None:
        while ends:
            ends.pop()()

    client.on_connect(begin)
    client.on_disconnect(end)
    client.on_delete(end)
    begin()
    return end


def left_words(for_s: float, done: int, of: int) -> str:
    """Return about how long a calculation of many steps still takes; empty while that cannot be told.

    for_s   how long it has taken so far [s];  done, of   its steps

    >>> left_words(90.0, 71, 98), left_words(40.0, 10, 98), left_words(1.0, 1, 98), left_words(9.0, 1, 3)
    (', about 40 s left', ', about 6 min left', '', '')
    """
    if of < MANY_STEPS or done < FEWEST_STEPS:
        return ""
    left = for_s * (of - done) / done
    return (
        f", about {left / 60.0:.0f} min left"
        if left > 90.0
        else f", about {10.0 * -(-left // 10.0):.0f} s left"
    )


class _Running:
    """What is shown while it is calculated: made once and then only counted on, so that a hand can reach Stop."""

    def __init__(self, result: Result) -> None:
        ui.spinner(size="1.4em").props("aria-hidden=true")
        self.words = ui.label()
        self.clock = (
            ui.label().classes("nw-soft").props("aria-hidden=true")
        )  # not to be read out every second
        self.bar = ui.linear_progress(0.0, show_value=False).classes("w-32")
        self.bar.props('instant-feedback aria-label="How far the calculation is"')
        ui.button("Stop", on_click=result.stop).props("outline").classes("nw-plain")
        _marks(result)
        ui.timer(1.0, lambda: self.tick(result), immediate=False)

    def tick(self, result: Result) -> None:
        """Count the seconds, beside how many it took the last time."""
        last = f", {result.took_s:.0f} s the last time" if result.took_s else ""
        self.clock.set_text(f"{result.for_s:.0f} s{last or left_words(result.for_s, result.done, result.of)}")

    def count(self, result: Result) -> None:
        far = f" {result.done} of {result.of}" if result.of > 1 else ""
        self.words.set_text(f"Calculating{far} ...{PREPARING if result.bench.preparing else ''}")
        self.bar.set_value(result.done / result.of if result.of > 1 else 0.0)
        self.bar.set_visibility(result.of > 1)


class _Progress:
    """What is being done about an answer, in the place made for it."""

    def __init__(self) -> None:
        self._place = ui.element("div").classes("nw-state").props("role=status aria-live=polite")
        self._running: _Running | None = None
        self._old = False

    def show(self, result: Result) -> None:
        if result.running and self._running is not None and self._old == result.old:
            self._running.count(result)
            return
        self._place.clear()
        self._running, self._old = None, result.old
        with self._place:
            if result.running:
                self._running = _Running(result)
                self._running.count(result)
            else:
                _state(result)


def _state(result: Result) -> None:
    """Show how a calculation ended that gave no answer, and what the shown answer is of."""
    if result.refused is not None:
        ui.html(f'<span class="nw-bad">{html.escape(result.refused)}</span>', sanitize=False)
        ui.button("Try again", on_click=result.ask).props("outline").classes("nw-plain")
    elif result.stopped:
        ui.label("Stopped.")
        ui.button("Calculate", on_click=result.ask).props("outline").classes("nw-plain")
    _marks(result)


def _marks(result: Result) -> None:
    if result.order.learned:
        ui.html(
            '<span class="nw-tag">with learned values; <a href="/lookback">which</a></span>', sanitize=False
        )
    if result.old and result.answer is not None:
        ui.html(
            '<span class="nw-tag nw-old">old: of the project before your last change</span>', sanitize=False
        )


def pictures(result: Result, answer: Answer, told: dict[str, str]) -> None:
    """Show the command's pictures, each with what it tells (name -> text for those who do not see it).

    A page holds each twice, for light and for dark; the one it does not show is not fetched, and paper takes the light.
    """
    for name in answer.pictures:
        address = picture_address(result, name)
        alt = html.escape(told.get(name, name))
        ui.html(
            f'<figure class="nw-picture" style="margin:0"><a href="{address}" target="_blank" title="open it alone">'
            f'<img src="{address}" alt="{alt}" loading="lazy" class="nw-by-day">'
            f'<img src="{address}&amp;night=1" alt="{alt}" loading="lazy" class="nw-by-night"></a></figure>',
            sanitize=False,
        ).classes("w-full")


def picture_address(result: Result, name: str, form: str = "png") -> str:
    """Return where a picture is fetched; it changes with what the picture depends on."""
    mark = abs(hash((result.shown.about, result.shown.system) if result.shown else 0)) % 10**10
    years = dict(result.options).get("years_on")
    grown = f"&years_on={years:g}" if isinstance(years, float) else ""
    dates = "".join(f"&{k}={quote(str(v))}" for k, v in result.options if k in ("first", "last"))
    return f"/picture/{result.question}/{name}.{form}?v={mark}{grown}{dates}"


def what_is_this(summary: str, *sentences: str) -> None:
    """Explain a figure where the eye is: what it is, and what is normal."""
    text = "".join(f"<p>{html.escape(s)}</p>" for s in sentences)
    ui.html(
        f'<details class="nw-help"><summary>{html.escape(summary)}</summary>{text}</details>', sanitize=False
    )


def caution(line: str) -> None:
    """Show a caution where it belongs."""
    ui.html(f'<p class="nw-caution">{html.escape(line)}</p>', sanitize=False).classes("w-full")
