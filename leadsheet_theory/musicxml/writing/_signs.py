"""Key, metre, clef, bar lines, directions and marks of form as MusicXML 4.0 text."""

from __future__ import annotations

from functools import lru_cache
from typing import Final, Literal

from ...key import Key
from ...leadsheet.model import Bar, Direction, Swing, Tempo
from ...leadsheet.signs import Barline, FormSigns, Jump
from ...rhythm.meter import Meter
from ...rhythm.values import NoteValue
from .._vocabulary import (
    BAR_STYLES,
    DYNAMICS,
    FINE,
    JUMPS,
    REPEATED_JUMP,
    SWING_VALUES,
    TO_CODA,
)
from ._text import attribute, decimal_text, escape

__all__ = (
    "Insert",
    "direction_insert",
    "end_signs",
    "key_xml",
    "left_barline",
    "meter_xml",
    "opening_xml",
    "right_barline",
    "slash_style_xml",
    "start_signs",
    "words_xml",
)

Insert = tuple[str, str]
"""An element in two halves: an offset may stand between them."""

# what is written for each bar line; a regular one stands without being written
_BAR_STYLES: Final[dict[Barline, str]] = {
    barline: style
    for style, barline in reversed(BAR_STYLES.items())
    if barline != "regular"
}


def key_xml(key: Key, *, shown: bool = True, number: int = 0) -> str:
    """The key element; without pitches on the staff it is not `shown`; `number` is that
    of its staff, where they differ."""
    hidden = "" if shown else ' print-object="no"'
    staff = f' number="{number}"' if number else ""
    return (
        f"<key{staff}{hidden}><fifths>{key.signature}</fifths>"
        f"<mode>{key.mode}</mode></key>"
    )


def meter_xml(meter: Meter) -> str:
    """The time element; an additive metre shows its groups, as 3+2, a composite one
    the numbers of each."""
    symbol = "" if meter.symbol == "numbers" else f' symbol="{meter.symbol}"'
    if meter.beat_types:
        parts = [(str(count), unit) for count, unit in meter.parts]
    else:
        beats = "+".join(map(str, meter.grouping)) or str(meter.beats)
        parts = [(beats, meter.beat_type)]
    content = "".join(
        f"<beats>{beats}</beats><beat-type>{unit}</beat-type>" for beats, unit in parts
    )
    return f"<time{symbol}>{content}</time>"


def slash_style_xml(kind: Literal["start", "stop"], *, staff: int = 0) -> str:
    """Where slash notation starts or stops; `staff` is its number among several."""
    stems = ' use-stems="no"' if kind == "start" else ""
    number = f' number="{staff}"' if staff else ""
    return f'<measure-style{number}><slash type="{kind}"{stems}/></measure-style>'


def left_barline(bar: Bar) -> str:
    """The left bar line, where it shows an ending or a repeat; else nothing."""
    if not (bar.form.repeat_start or bar.form.ending_starts):
        return ""
    text = ['<barline location="left">']
    if bar.form.repeat_start:
        text.append("<bar-style>heavy-light</bar-style>")
    if bar.form.ending_starts:
        text.append(_ending_xml(bar, "start"))
    if bar.form.repeat_start:
        text.append('<repeat direction="forward"/>')
    text.append("</barline>\n")
    return "".join(text)


def right_barline(bar: Bar, *, ending_stops: bool) -> str:
    """The right bar line, where it is not a plain one; else nothing.

    An ending closes downward where the music goes back or the piece ends, and
    stays open where it goes on.
    """
    style = "light-heavy" if bar.form.repeat_end else _BAR_STYLES.get(bar.form.barline)
    if not (style or ending_stops):
        return ""
    text = ['<barline location="right">']
    if style:
        text.append(f"<bar-style>{style}</bar-style>")
    if ending_stops:
        closed = (
            bar.form.repeat_end
            or bar.form.jump
            or bar.form.fine
            or bar.form.barline == "final"
        )
        text.append(_ending_xml(bar, "stop" if closed else "discontinue"))
    if bar.form.repeat_end:
        times = f' times="{bar.form.repeat_end}"' if bar.form.repeat_end != 2 else ""
        after = ' after-jump="yes"' if bar.form.repeat_after_jump else ""
        text.append(f'<repeat direction="backward"{times}{after}/>')
    text.append("</barline>\n")
    return "".join(text)


def _ending_xml(bar: Bar, kind: str) -> str:
    number = ", ".join(map(str, bar.form.ending))
    label = ", ".join(f"{each}." for each in bar.form.ending) if kind == "start" else ""
    return f'<ending number="{number}" type="{kind}">{label}</ending>'


def start_signs(bar: Bar, page: str = "") -> str:
    """What stands over the start of a bar: section letter, segno, coda.

    For playback each segno and coda has a name; `page` is added to it, since another
    page may have signs of its own.
    """
    text = ""
    if bar.form.section:
        text += (
            '<direction placement="above"><direction-type>'
            f'<rehearsal enclosure="square">{escape(bar.form.section)}</rehearsal>'
            "</direction-type></direction>\n"
        )
    if bar.form.segno:
        text += _sign_xml("<segno/>", f'segno="segno{page}"')
    if bar.form.coda:
        name = f"coda{_numbered(bar.form)}{page}"
        text += _sign_xml("<coda/>", f'coda="{name}"', _numbered(bar.form))
    return text


def end_signs(bar: Bar, page: str = "") -> str:
    """What stands over the end of a bar: to coda, fine, da capo, dal segno; `page` as
    in :func:`start_signs`."""
    text = ""
    if bar.form.to_coda:
        number = _numbered(bar.form)
        words = f"{TO_CODA} {number}".rstrip()
        text += _sign_xml(f"<words>{words}</words>", f'tocoda="coda{number}{page}"')
    if bar.form.fine:
        text += _sign_xml(f"<words>{FINE}</words>", 'fine="yes"')
    if bar.form.to_solos:
        text += words_xml("to Solos")
    if bar.form.repeat_end > 2 and not bar.form.ending:
        text += words_xml(f"{bar.form.repeat_end}x")
    if bar.form.jump:
        if bar.form.jump.after_solos:
            page = ""  # it leads back to the head
        sound = f'dalsegno="segno{page}"'
        if bar.form.jump.back_to == "capo":
            sound = 'dacapo="yes"'
        text += _sign_xml(f"<words>{jump_words(bar.form.jump)}</words>", sound)
    return text


def jump_words(jump: Jump) -> str:
    """The words of the trade: ``D.S. al Coda``.

    >>> jump_words(Jump("segno", "coda")), jump_words(Jump("capo"))
    ('D.S. al Coda', 'D.C.')
    """
    words = JUMPS[jump.back_to]
    if jump.until:
        words += f" al {jump.until.title()}"
    if jump.until == "coda" and jump.coda > 1:
        words += f" {jump.coda}"
    if jump.with_repeats:
        words += f" {REPEATED_JUMP}"
    return f"After solos, {words}" if jump.after_solos else words


def _numbered(form: FormSigns) -> str:
    """The number of a bar's coda, where it is not the usual one."""
    return str(form.coda_number) if form.coda_number > 1 else ""


def _sign_xml(sign: str, sound: str, beside: str = "") -> str:
    """A sign, with words beside it, and what it means for playback."""
    if beside:
        beside = f"<direction-type><words>{beside}</words></direction-type>"
    return (
        f'<direction placement="above"><direction-type>{sign}</direction-type>{beside}'
        f"<sound {sound}/></direction>\n"
    )


def words_xml(words: str) -> str:
    """Words above the staff."""
    return (
        '<direction placement="above"><direction-type>'
        f"<words>{escape(words)}</words></direction-type></direction>\n"
    )


def opening_xml(style: str, tempo: Tempo | None, swing: Swing | None) -> str:
    """What stands over the first bar, in one line: the style, then the tempo, then
    the equation of the swing."""
    printed = []
    if style:
        printed.append(
            "<direction-type>"
            f'<words font-weight="bold">{escape(style)}</words></direction-type>'
        )
    if tempo is not None:
        printed.append(_metronome_xml(tempo))
    if swing is not None and swing.equation:
        printed.append(_equation_xml(swing))
    sound = _opening_sound(tempo, swing)
    if not printed:
        return f"{sound}\n" if sound else ""
    return f'<direction placement="above">{"".join(printed)}{sound}</direction>\n'


def _opening_sound(tempo: Tempo | None, swing: Swing | None) -> str:
    if swing is None:
        return "" if tempo is None else _tempo_sound(tempo)
    said = (
        "<straight/>"
        if swing.is_straight
        else (
            f"<first>{swing.first}</first><second>{swing.second}</second>"
            f"<swing-type>{swing.unit}</swing-type>"
        )
    )
    tempo_attribute = "" if tempo is None else f" tempo={_quarters_a_minute(tempo)}"
    return f"<sound{tempo_attribute}><swing>{said}</swing></sound>"


def _equation_xml(swing: Swing) -> str:
    """Two notes of the unit are played as those that the swing says; nothing where no
    two values say it."""
    played = SWING_VALUES.get((swing.unit, swing.first, swing.second))
    if played is None:
        return ""
    notes = [_metronome_note(value) for value in (NoteValue(swing.unit),) * 2 + played]
    return (
        "<direction-type><metronome>"
        f"{''.join(notes[:2])}<metronome-relation>equals</metronome-relation>"
        f"{''.join(notes[2:])}</metronome></direction-type>"
    )


def _metronome_note(value: NoteValue) -> str:
    tuplet = ""
    if value.tuplet is not None:
        end = "start" if value.tuplet.starts else "stop"
        tuplet = (
            f'<metronome-tuplet type="{end}">'
            f"<actual-notes>{value.tuplet.actual}</actual-notes>"
            f"<normal-notes>{value.tuplet.normal}</normal-notes></metronome-tuplet>"
        )
    return (
        f"<metronome-note><metronome-type>{value.name}</metronome-type>"
        f"{'<metronome-dot/>' * value.dots}{tuplet}</metronome-note>"
    )


@lru_cache(maxsize=1024)
def direction_insert(direction: Direction) -> Insert:
    """A direction, in halves between which an offset may stand."""
    placement = "above" if direction.above else "below"
    if direction.kind == "tempo" and direction.tempo is not None:
        return _tempo_halves(direction.tempo, placement)
    if direction.kind == "dynamics":
        content = f"<dynamics>{_dynamic_xml(direction.text)}</dynamics>"
    else:
        content = f"<words>{escape(direction.text)}</words>"
    return (
        f'<direction placement="{placement}">'
        f"<direction-type>{content}</direction-type>",
        "</direction>\n",
    )


def _dynamic_xml(text: str) -> str:
    if text in DYNAMICS:
        return f"<{text}/>"
    return f"<other-dynamics>{escape(text)}</other-dynamics>"


def _tempo_halves(tempo: Tempo, placement: str) -> Insert:
    return (
        f'<direction placement="{placement}">{_metronome_xml(tempo)}',
        f"{_tempo_sound(tempo)}</direction>\n",
    )


def _metronome_xml(tempo: Tempo) -> str:
    beat: NoteValue = tempo.beat
    return (
        f"<direction-type><metronome><beat-unit>{beat.name}</beat-unit>"
        f"{'<beat-unit-dot/>' * beat.dots}"
        f"<per-minute>{decimal_text(tempo.per_minute)}</per-minute></metronome>"
        "</direction-type>"
    )


def _tempo_sound(tempo: Tempo) -> str:
    return f"<sound tempo={_quarters_a_minute(tempo)}/>"


def _quarters_a_minute(tempo: Tempo) -> str:
    return attribute(decimal_text(tempo.per_minute * tempo.beat.duration))
