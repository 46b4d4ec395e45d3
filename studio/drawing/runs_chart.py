"""What every printer does, day by day: a picture for each week, as wide as a narrow screen.

Drawing units are CSS pixels: at their own width of 328 the pictures fill a telephone; side by side they fill
a wide screen.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from studio.drawing.lettering import text_width
from studio.drawing.markup import FONT, element, escape, path, svg
from studio.drawing.sheet import Frame
from studio.making.calendar import Dates, PrinterRun
from studio.making.equipment import Printer
from studio.making.shop import ShopState, out_on
from studio.making.working_days import working_days_of
from studio.voice import PLAIN, Voice

__all__ = ["runs_charts"]

DAY = timedelta(days=1)
LABEL, ACROSS = 20, 44
"""Width of the printers' numbers, and of a day."""
WIDTH = LABEL + 7 * ACROSS
HEAD, KIND, ROW, BAR, FOOT = 40, 20, 16, 11, 18
"""Heights of the names of week and days, a kind’s name, a printer, what it does, and a line about a date."""
LETTERS = 13
CAPITAL = 0.66 * LETTERS


@dataclass(frozen=True, slots=True)
class _Row:
    """A printer: `top` is where its row begins."""

    printer: str
    unit: int
    top: int


@dataclass(frozen=True, slots=True)
class _Mark:
    """A date to be seen in its week, at the end of its attended hours; `told` to those who hear it."""

    day: date
    text: str
    told: str
    held: bool


def runs_charts(
    dates: Dates, shop: ShopState, printers: Sequence[Printer], *, ident: str, voice: Voice = PLAIN
) -> tuple[str, ...]:
    """An SVG for each week (Monday to Sunday) in which something is printed or ready, in order.

    A row for each printer: this panel's plates are filled, those that are expected to be printed again are
    outlined, promised jobs hatched. Nights are shaded, closed days and printers out of service darker.
    `ident` must be the page's own for
    these pictures.
    """
    rows, foot = _rows(printers)
    ready, held = voice.weekday(dates.ready_on), voice.weekday(dates.held_on)
    share = voice.odds(dates.holds_percent)
    marks = (
        _Mark(dates.ready_on, "expected", f"Expected to be ready on {ready}.", held=False),
        _Mark(dates.held_on, f"{share} by", f"In {share} cases ready by {held}.", held=True),
    )
    return tuple(
        _Week(monday, shop, rows, foot, f"{ident}-{monday:%Y%m%d}", voice).picture(dates.runs, marks)
        for monday in _mondays(dates)
    )


def _mondays(dates: Dates) -> list[date]:
    days = {dates.ready_on, dates.held_on}
    for run in dates.runs:
        days.update(
            run.starts.date() + n * DAY for n in range((run.ends.date() - run.starts.date()).days + 1)
        )
    return sorted({day - day.weekday() * DAY for day in days})


def _rows(printers: Sequence[Printer]) -> tuple[tuple[_Row, ...], int]:
    """The printers' rows, and where the last one ends."""
    rows, top = [], HEAD
    for printer in printers:
        top += KIND
        rows += [_Row(printer.name, n + 1, top + n * ROW) for n in range(printer.count)]
        top += printer.count * ROW
    return tuple(rows), top


class _Week:
    """Seven days from `monday`."""

    def __init__(
        self, monday: date, shop: ShopState, rows: tuple[_Row, ...], foot: int, ident: str, voice: Voice
    ) -> None:
        self.monday, self.shop, self.rows, self.foot = monday, shop, rows, foot
        self.ident, self.voice = ident, voice
        self.days = [monday + n * DAY for n in range(7)]

    def picture(self, runs: Sequence[PrinterRun], marks: Sequence[_Mark]) -> str:
        here = [run for run in runs if self._spans(run)]
        marked = [mark for mark in marks if mark.day in self.days]
        height = self.foot + 4 + FOOT * len(marked)
        content = (
            self._shades()
            + self._out()
            + self._lines()
            + self._bars(here)
            + self._lettering()
            + self._marks(marked)
        )
        return svg(
            Frame(0, 0, WIDTH, height),
            element("g", content, font_family=FONT, font_size=LETTERS, stroke_width=1),
            title=f"Printers in the week from {self.voice.weekday(self.monday)}",
            ident=self.ident,
            class_="drawing runs",
            describe=" ".join((*self._told(here), *(mark.told for mark in marked))),
        )

    def _spans(self, run: PrinterRun) -> bool:
        return run.starts < self._midnight(self.monday + 7 * DAY) and run.ends > self._midnight(self.monday)

    @staticmethod
    def _midnight(day: date) -> datetime:
        return datetime.combine(day, time())

    def _x(self, moment: datetime) -> float:
        passed = (moment - self._midnight(self.monday)) / DAY
        return LABEL + ACROSS * min(max(passed, 0.0), 7.0)

    def _shades(self) -> str:
        calendar = working_days_of(self.shop)
        opens, closes = self.shop.attended_from_hour / 24, self.shop.attended_to_hour / 24
        nights, closed = [], []
        for number, day in enumerate(self.days):
            left = LABEL + number * ACROSS
            if calendar.works(day):
                nights += [(left, left + opens * ACROSS), (left + closes * ACROSS, left + ACROSS)]
            else:
                closed.append((left, left + ACROSS))
        return "".join(
            path(
                _boxes((a, top, b, foot) for top, foot in self._bands() for a, b in spans),
                fill="currentColor",
                fill_opacity=shade,
            )
            for spans, shade in ((nights, 0.07), (closed, 0.16))
        )

    def _out(self) -> str:
        """Printers out of service on working days: those of the highest numbers."""
        calendar, boxes = working_days_of(self.shop), []
        counts = Counter(row.printer for row in self.rows)
        for number, day in enumerate(self.days):
            left = LABEL + number * ACROSS
            for row in self.rows if calendar.works(day) else ():
                if row.unit > counts[row.printer] - out_on(self.shop.out_of_service, row.printer, day):
                    boxes.append((left, row.top, left + ACROSS, row.top + ROW))
        return path(_boxes(boxes), class_="out", fill="currentColor", fill_opacity=0.16) if boxes else ""

    def _bands(self) -> list[tuple[int, int]]:
        """Top and foot of each kind's rows."""
        tops = [row.top for row in self.rows if row.unit == 1]
        return list(zip(tops, [*(top - KIND for top in tops[1:]), self.foot], strict=True))

    def _lines(self) -> str:
        lines = ""
        for top, foot in self._bands():
            lines += f"M0 {top}H{WIDTH}M0 {foot}H{WIDTH}"
            lines += "".join(f"M{LABEL + n * ACROSS} {top}V{foot}" for n in range(8))
        return path(lines, stroke="currentColor", stroke_opacity=0.3, shape_rendering="crispEdges")

    def _bars(self, runs: Sequence[PrinterRun]) -> str:
        hatch = f"{self.ident}-hatch"
        lines = path("M-1 1L1 -1M0 5L5 0M4 6L6 4", stroke="currentColor")
        pattern = element("pattern", lines, id=hatch, width=5, height=5, patternUnits="userSpaceOnUse")
        kinds: tuple[tuple[Callable[[PrinterRun], bool], dict[str, object]], ...] = (
            (lambda run: run.plate is None, {"class_": "promised", "fill": f"url(#{hatch})"}),
            (lambda run: run.plate is not None and not run.again, {
                "class_": "own", "fill": "currentColor", "fill_opacity": 0.45,
            }),
            (lambda run: run.again, {"class_": "again", "stroke_dasharray": "3 2"}),
        )  # fmt: skip
        tops = {(row.printer, row.unit): row.top for row in self.rows}
        drawn = ""
        for chosen, look in kinds:
            boxes = [self._box(run, tops[run.printer, run.unit]) for run in runs if chosen(run)]
            drawn += path(_boxes(boxes), stroke="currentColor", **look) if boxes else ""
        return element("defs", pattern) + drawn

    def _box(self, run: PrinterRun, top: int) -> tuple[float, float, float, float]:
        low = top + (ROW - BAR) / 2
        return self._x(run.starts), low, self._x(run.ends), low + BAR

    def _lettering(self) -> str:
        names = _text(f"from {self.voice.weekday(self.monday)}", 2, LETTERS, "start")
        names += "".join(
            _text(f"{day:%a}"[:2] + f" {day.day}", LABEL + (n + 0.5) * ACROSS, HEAD - 5, "middle")
            for n, day in enumerate(self.days)
        )
        for row in self.rows:
            if row.unit == 1:
                names += _text(_short(row.printer), 2, row.top - 5, "start")
            names += _text(str(row.unit), LABEL - 5, row.top + ROW - 3, "end")
        return element("g", names, class_="figures", fill="currentColor")

    def _marks(self, marks: Sequence[_Mark]) -> str:
        drawn = ""
        for number, mark in enumerate(marks):
            x = self._x(self._midnight(mark.day) + timedelta(hours=self.shop.attended_to_hour))
            foot = self.foot + FOOT * (number + 1)
            text = f"{mark.text} {self.voice.month_day(mark.day)}"
            room = text_width(text, CAPITAL) + 5
            right = x + room < WIDTH if mark.held else x - room < 0  # either way if there is room for both
            drawn += path(
                f"M{x:.1f} {HEAD}V{foot}",
                class_="mark", stroke="currentColor", stroke_width=1.5,
                stroke_dasharray="4 3" if mark.held else None,
            )  # fmt: skip
            drawn += _text(text, x + 5 if right else x - 5, foot - 3, "start" if right else "end")
        return drawn

    def _told(self, runs: Sequence[PrinterRun]) -> Iterator[str]:
        for row in self.rows:
            mine = [run for run in runs if (run.printer, run.unit) == (row.printer, row.unit)]
            own = sum(run.plate is not None for run in mine)
            promised = len(mine) - own
            parts = [self.voice.count(own, "plate")] if own else []
            parts += [self.voice.count(promised, "promised run")] if promised else []
            yield f"{row.printer} {row.unit}: {' and '.join(parts) or 'nothing'}."


def _boxes(boxes: Iterable[tuple[float, float, float, float]]) -> str:
    return "".join(f"M{a:.1f} {b:g}H{c:.1f}V{d:g}H{a:.1f}Z" for a, b, c, d in boxes)


def _text(text: str, x: float, y: float, anchor: str) -> str:
    return element("text", escape(text), x=f"{x:g}", y=y, text_anchor=anchor, fill="currentColor")


def _short(name: str) -> str:
    """As much of a name as a line holds."""
    while text_width(name, CAPITAL) > WIDTH - 4:
        name = name[:-2] + "…"
    return name
