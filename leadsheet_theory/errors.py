"""Every error this library raises, in one place.

All of them derive from :class:`TheoryError`, and each also derives from the
built-in exception a Python programmer would expect (`ValueError`,
`LookupError`), so that either can be caught.  Each keeps what it says as
data, not only as a message, and can be pickled.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from typing import TYPE_CHECKING, ClassVar, Self

__all__ = (
    "AbcReadError", "BarNumberError", "ChoiceError", "ChordDegreeError",
    "ChordFormulaError", "ChordSpellingError", "ChordSymbolError", "ClefError",
    "CorrectionError", "DataError", "DecisionError", "DrawingError", "EmptyMelodyError",
    "EmptySheetError", "EnharmonicError", "ExerciseError", "FormSyntaxError",
    "HarmonyError", "HouseStyleError", "IntervalSyntaxError", "KeyModeError",
    "KeySignatureError", "KeySyntaxError", "LayoutError", "LengthMismatchError",
    "MeterError", "MeterSyntaxError", "MusicXMLReadError", "MusicXMLWriteError",
    "NotTextError", "NoteValueError", "PagesExtraError", "PitchRangeError",
    "PitchSyntaxError", "RangeOrderError", "RespellError", "RhythmError",
    "RunningOrderError", "SoundExtraError", "TempoError", "TextError", "TheoryError",
    "UnknownBookError", "UnknownInstrumentError", "UnknownNameError",
    "UnknownRuleError", "UnknownStaffError", "WrongTypeError",
)  # fmt: skip


class TheoryError(Exception):
    """The base of all errors: it keeps data by name, prints a sentence, is pickled.

    Attributes:
        code: a word for the kind of error, the same between patch versions.

    >>> MusicXMLReadError.code, KeySyntaxError.code
    ('musicxml-read', 'key-syntax')
    """

    code: ClassVar[str] = "theory"

    def __init_subclass__(cls) -> None:
        name = cls.__name__.removesuffix("Error").replace("MusicXML", "Musicxml")
        cls.code = re.sub(r"(?<!^)(?=[A-Z])", "-", name).lower()

    def __init__(self, sentence: str = "", /, **data: object) -> None:
        super().__init__(sentence)
        vars(self).update(data)

    def __reduce__(self) -> tuple[object, ...]:
        return _rebuilt, (type(self), self.args, vars(self))


def _rebuilt(
    kind: type[TheoryError], args: tuple[object, ...], data: dict[str, object]
) -> TheoryError:
    """An error out of a pickle: as it was, without being worked out again."""
    error = kind.__new__(kind, *args)
    vars(error).update(data)
    return error


class TextError(TheoryError, ValueError):
    r"""A text that should name something musical and does not.

    Attributes:
        problem: what is wrong, in a few words.
        text: the whole text that was read.
        start: offset in `text` where the trouble starts (characters, from 0).
        end: offset just past the trouble.
        expected: what would have been right at `start`, or ``""``.
        suggestion: the nearest good reading, or ``""``.

    >>> print(TextError("no such step", text="H4", start=0, end=1,
    ...                 expected="a letter A to G", suggestion="B4"))
    no such step: expected a letter A to G; did you mean 'B4'?
      H4
      ^
    """

    problem: str
    text: str
    start: int
    end: int
    expected: str
    _suggestion: str | Callable[[], str]

    def __init__(
        self,
        problem: str,
        /,
        *,
        text: str,
        start: int,
        end: int | None = None,
        expected: str = "",
        suggestion: str | Callable[[], str] = "",
    ) -> None:
        Exception.__init__(self, problem)
        self.problem, self.text, self.expected = problem, text, expected
        self.start = start
        self.end = start + 1 if end is None else max(end, start + 1)
        self._suggestion = suggestion

    @classmethod
    def told_later(cls, look: Callable[[], TextError], /) -> Self:
        """An error that takes its data from the one that `look` gives, when they are
        first looked at: what is clearly wrong is refused, and often nobody asks why."""
        error = cls.__new__(cls)
        vars(error)["_look"] = look
        return error

    if not TYPE_CHECKING:  # a checker knows the data by what stands above
        args = property(lambda self: (self.problem,))

        def __getattr__(self, name: str) -> object:
            look = vars(self).get("_look")
            if look is None or name not in TextError.__annotations__:
                raise AttributeError(f"{type(self).__name__!r} has no {name!r}")
            vars(self).update(vars(look()), _look=None)
            return vars(self)[name]

    def __repr__(self) -> str:
        return f"{type(self).__name__}({self.problem!r})"

    def tell_of(self, text: str, suggestion: Callable[[], str], /) -> None:
        """Tell of a whole text what was found in a part of it, its places being those
        in the whole."""
        self.text = text
        self.start = min(self.start, len(text))
        self.end = max(min(self.end, len(text)), self.start + 1)
        self._suggestion = suggestion

    @property
    def suggestion(self) -> str:
        """The nearest good reading, looked for when it is first asked for."""
        if not isinstance(self._suggestion, str):
            self._suggestion = self._suggestion()
        return self._suggestion

    def __reduce__(self) -> tuple[object, ...]:
        self._suggestion = self.suggestion
        return super().__reduce__()

    def __str__(self) -> str:
        says = self.problem
        if self.expected:
            says += f": expected {self.expected}"
        if self.suggestion:
            says += f"; did you mean {self.suggestion!r}?"
        return f"{says}\n{self._excerpt()}"

    def _excerpt(self) -> str:
        """The text with a caret line under the span, cut to 60 characters."""
        first = max(0, self.start - 30)
        shown = self.text[first : first + 60]
        shown = "".join(c if c.isprintable() else "·" for c in shown)
        head = "…" if first else ""
        tail = "…" if first + 60 < len(self.text) else ""
        pad = " " * (self.start - first + len(head))
        width = max(1, min(self.end, first + 60) - self.start)
        return f"  {head}{shown}{tail}\n  {pad}{'^' * width}"


class NotTextError(TheoryError, TypeError):
    """Something that is to be read and is no text, such as None.

    Attributes:
        kind: the name of its type.
    """

    kind: str

    def __init__(self, given: object) -> None:
        kind = type(given).__name__
        super().__init__(
            f"nothing to read in a value of type {kind}: expected a text (str)",
            kind=kind,
        )


class WrongTypeError(TheoryError, TypeError):
    """A value of a type that cannot be meant, such as None for a key.

    Attributes:
        what: what the value should be.
        expected: what was expected, in words.
        kind: the name of the value's type.
        suggestion: what of the value may have been meant, or ``""``.
    """

    what: str
    expected: str
    kind: str
    suggestion: str

    def __init__(
        self, what: str, given: object, expected: str, suggestion: str = ""
    ) -> None:
        kind = type(given).__name__
        says = f"{what} can't be a value of type {kind}: expected {expected}"
        if suggestion:
            says += f"; did you mean {suggestion}?"
        data = {"what": what, "expected": expected, "kind": kind}
        super().__init__(says, **data, suggestion=suggestion)


class ChoiceError(TheoryError, ValueError):
    """A word that an option does not know.

    Attributes:
        option: the option.
        value: the word as given.
        choices: the words it knows.
    """

    option: str
    value: str
    choices: tuple[str, ...]

    def __init__(self, option: str, value: str, choices: tuple[str, ...]) -> None:
        known = ", ".join(repr(each) for each in choices)
        says = f"{option} can't be {value!r}: expected one of {known}"
        super().__init__(says, option=option, value=value, choices=choices)


class PitchSyntaxError(TextError):
    """A text that names no note or pitch."""


class IntervalSyntaxError(TextError):
    """A text that names no interval."""


class KeySyntaxError(TextError):
    """A text that names no key."""


class ChordSymbolError(TextError):
    """A text that is no chord symbol."""


class ChordDegreeError(TextError):
    """A text that is no Roman numeral and no number of a chord in a key."""


class ChordFormulaError(TheoryError, ValueError):
    """A chord that cannot be built, such as one with a degree 8."""


class ChordSpellingError(TheoryError, ValueError):
    """A chord root asked to be spelled as a note that sounds otherwise."""


class ExerciseError(TheoryError, ValueError):
    """An exercise that cannot be marked, such as the tones of N.C."""


class HarmonyError(TheoryError, ValueError):
    """A MusicXML harmony that says no chord."""


class HouseStyleError(TheoryError, ValueError):
    """A house style whose printed symbols would not read back as what they mean."""


class FormSyntaxError(TextError):
    """A text that names no form, such as an ending without a number of bars."""


class MeterSyntaxError(TextError):
    """A text that is no time signature."""


class PitchRangeError(TheoryError, ValueError):
    """A pitch that cannot be named (no letter A to G, over 7 accidentals) or sounded
    (MIDI 0 to 127)."""


class KeySignatureError(TheoryError, ValueError):
    """A key that cannot be built, such as one of 15 sharps."""


class EnharmonicError(TheoryError, ValueError):
    """A respelling that would change the sound, such as F♯ for G."""


class LengthMismatchError(TheoryError, ValueError):
    """Two sequences that should go together and differ in length."""


class UnknownInstrumentError(TheoryError, LookupError):
    """A name that no instrument goes by, or that several do.

    Attributes:
        name: the name as given.
        suggestions: names that may have been meant, the likeliest first.
        ambiguous: whether `suggestions` all go by that very name.
    """

    name: str
    suggestions: tuple[str, ...]
    ambiguous: bool

    def __init__(
        self, name: str, suggestions: tuple[str, ...] = (), ambiguous: bool = False
    ) -> None:
        names = " or ".join(repr(each) for each in suggestions)
        shown = repr(name if len(name) <= 60 else f"{name[:59]}…")
        if ambiguous:
            says = f"{shown} names more than one instrument: say {names}"
        else:
            says = f"no instrument called {shown}"
            says += f"; did you mean {names}?" if names else ""
        super().__init__(says, name=name, suggestions=suggestions, ambiguous=ambiguous)


class UnknownNameError(TheoryError, LookupError):
    """A name that nothing of its kind goes by.

    Attributes:
        name: the name as given.
        known: the names there are.
    """

    thing = "thing"
    name: str
    known: tuple[str, ...]

    def __init__(self, name: str, known: tuple[str, ...]) -> None:
        there = ", ".join(known) if known else "none"
        says = f"no {self.thing} called {name!r}: there are {there}"
        super().__init__(says, name=name, known=known)


class UnknownBookError(UnknownNameError):
    """A name that no book of parts goes by."""

    thing = "book"


class UnknownStaffError(UnknownNameError):
    """A name that no staff of a file goes by."""

    thing = "staff"


class UnknownRuleError(UnknownNameError):
    """A name that no rule of the proofreader goes by."""

    thing = "rule"


class CorrectionError(TheoryError, ValueError):
    """A finding of the proofreader that can't be applied to a sheet."""


class BarNumberError(TheoryError, ValueError):
    """A text that names no bars."""


class RangeOrderError(TheoryError, ValueError):
    """A range whose low end lies above its high end.

    Attributes:
        low: the low end as given, in scientific pitch notation.
        high: the high end.
    """

    low: str
    high: str

    def __init__(self, low: str, high: str) -> None:
        says = f"a range from {low} up to {high} is upside down"
        super().__init__(says, low=low, high=high)


class EmptyMelodyError(TheoryError, ValueError):
    """A melody without a note, or a note without a pitch, where one is needed."""


class EmptySheetError(TheoryError, ValueError):
    """A lead sheet, of that `title`, without a bar where one is needed."""

    title: str

    def __init__(self, title: str) -> None:
        super().__init__(f"{title!r} has no bar: expected at least one", title=title)


class ClefError(TheoryError, ValueError):
    """A clef that no staff can have, or an instrument without a clef."""


class DataError(TheoryError, ValueError):
    """Plain data that holds no value of this library, or a value that cannot be plain
    data.

    Attributes:
        problem: what is wrong.
        place: where, such as ``value.bars[3].length``; ``""`` for the whole.
    """

    problem: str
    place: str

    def __init__(self, problem: str, place: str, /) -> None:
        where = f"{place}: " if place else ""
        super().__init__(f"{where}{problem}", problem=problem, place=place)


class DecisionError(TheoryError, ValueError):
    """A decision (in its `file`, on its `line`, under its `key`) that can't be, or that
    doesn't fit its chart; `problem` is what is wrong, and what is there instead.

    >>> print(DecisionError("no chord in bar 9", key="respell", file="a.toml", line=3))
    a.toml, line 3: respell: no chord in bar 9
    """

    def __init__(
        self, problem: str, *, key: str = "", file: str = "", line: int | None = None
    ) -> None:
        place = ", ".join(filter(None, (file, f"line {line}" if line else "")))
        says = ": ".join(filter(None, (place, key, problem)))
        super().__init__(says, problem=problem, key=key, file=file, line=line)
        self.problem, self.key, self.file, self.line = problem, key, file, line


class LayoutError(TheoryError, ValueError):
    """A page or a number of bars that music cannot be laid out on."""


class RunningOrderError(TheoryError, ValueError):
    """Solos, or a way back, that a chart cannot have."""


class DrawingError(TheoryError, RuntimeError):
    """A page could not be drawn."""


class KeyModeError(TheoryError, ValueError):
    """A tune was to be moved into a key of another mode, as from minor to major."""


class PagesExtraError(TheoryError, ImportError):
    """Pages were asked for, but the `library` that draws them is not installed."""

    library: str

    def __init__(self, library: str) -> None:
        super().__init__(
            f"no pages without {library}: install the extra for them, "
            "pip install 'leadsheet-theory[pages]'",
            library=library,
        )


class SoundExtraError(TheoryError, ImportError):
    """A MIDI file was asked for, but the `library` that writes it is not installed."""

    library: str

    def __init__(self, library: str) -> None:
        super().__init__(
            f"no MIDI without {library}: install the extra for it, "
            "pip install 'leadsheet-theory[sound]'",
            library=library,
        )


class TempoError(TheoryError, ValueError):
    """A tempo that no one can play, or a number of bars or choruses out of range."""


class MeterError(TheoryError, ValueError):
    """Numbers that make no metre.

    Attributes:
        problem: what is wrong and what was expected.
        beats: the upper number.
        beat_type: the lower number.
        grouping: the groups asked for, or ``()``.
    """

    problem: str
    beats: int
    beat_type: int
    grouping: tuple[int, ...]

    def __init__(
        self,
        problem: str,
        /,
        *,
        beats: int,
        beat_type: int,
        grouping: tuple[int, ...] = (),
    ) -> None:
        data = {"beats": beats, "beat_type": beat_type, "grouping": grouping}
        super().__init__(problem, problem=problem, **data)


class NoteValueError(TheoryError, ValueError):
    """A note value or a tuplet that cannot be written, such as one of -1 dots."""


class RhythmError(TheoryError, ValueError):
    """A duration that no written values can show, such as one below zero.

    Attributes:
        problem: what is wrong and what was expected.
        onset: where it starts, in quarter notes.
        duration: how long it lasts, in quarter notes.
    """

    problem: str
    onset: Fraction | float
    duration: Fraction | float

    def __init__(
        self, problem: str, onset: Fraction | float, duration: Fraction | float
    ) -> None:
        data = {"problem": problem, "onset": onset, "duration": duration}
        super().__init__(f"{problem} (at {onset}, lasting {duration} quarters)", **data)


class MusicXMLWriteError(TheoryError, ValueError):
    """Something that MusicXML 4.0 cannot hold, such as a note in octave 10."""


class RespellError(TheoryError, LookupError):
    """A chord to be respelled that is not there, such as one in a bar without any."""


class MusicXMLReadError(TheoryError, ValueError):
    """A file that is no score, or a score that says something impossible.

    Attributes:
        problem: what is wrong and what was expected.
        part: the id of the part, or ``""`` outside any.
        measure: the number the file gives the measure, or ``""`` outside any.
        element: the MusicXML element that is wrong, or ``""``.
        line: line of the XML text, from 1, where the text itself is broken.
        column: column of the XML text, from 1.
        source: the file's name, or ``""`` when bytes were read.

    >>> print(MusicXMLReadError("-4 is no duration", part="P1", measure="12",
    ...                         element="duration"))
    part P1, measure 12, <duration>: -4 is no duration
    """

    problem: str
    part: str
    measure: str
    element: str
    line: int | None
    column: int | None
    source: str

    def __init__(
        self,
        problem: str,
        /,
        *,
        part: str = "",
        measure: str = "",
        element: str = "",
        line: int | None = None,
        column: int | None = None,
        source: str = "",
    ) -> None:
        data = {"part": part, "measure": measure, "element": element, "source": source}
        places = (
            source,
            f"part {part}" if part else "",
            f"measure {measure}" if measure else "",
            f"line {line}" if line is not None else "",
            f"column {column}" if column is not None else "",
            f"<{element}>" if element else "",
        )
        place = ", ".join(filter(None, places))
        says = f"{place}: {problem}" if place else problem
        super().__init__(says, problem=problem, line=line, column=column, **data)


class AbcReadError(TheoryError, ValueError):
    """A text that holds no tune in ABC notation.

    Attributes:
        problem: what is wrong and what was expected.
        line: line of the text, from 1, or None for the text as a whole.
        column: column of the text, from 1.
        source: the file's name, or ``""`` when a text was read.
    """

    problem: str
    line: int | None
    column: int | None
    source: str

    def __init__(
        self,
        problem: str,
        /,
        *,
        line: int | None = None,
        column: int | None = None,
        source: str = "",
    ) -> None:
        spot = "" if line is None else f"line {line}"
        spot += "" if column is None else f", column {column}"
        place = ", ".join(filter(None, (source, spot)))
        data = {"line": line, "column": column, "source": source}
        says = f"{place}: {problem}" if place else problem
        super().__init__(says, problem=problem, **data)
