"""The search behind the spelling of melodies and other notes.

Every note has a place on the line of fifths.  Within the key of the moment
(one signature a bar) seven notes stand as they are; the other five are each
either raised or lowered.  Every voice is a path through those choices, and
the cheapest path over the whole piece is the spelling.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence

from ._weights import (
    ALIKE,
    ALONE,
    ALONE_PASSING_UP,
    CHORD_TONE,
    FEW_SIGNS,
    IN_KEY,
    IN_MOMENT,
    KEY_DURATIONS,
    KEY_FIRST,
    KEY_LAST,
    KEY_NUMBERS,
    LEAP,
    MOTION,
    NEAR,
    NEAR_NOTES,
    NEW_KEY,
    NEXT_CHORD_TONE,
    NO_NOTE,
    OTHER_SIDE,
    RAISED,
    SOUNDING,
    STEP,
    STRAY,
)

__all__ = ("best_places", "moment_signatures", "signature_scores", "signatures_of_bars")

_MAX_MOMENT = 10

Tones = tuple[int, ...]
"""The tones of a chord as places on the line of fifths."""


def _mask_costs(weights: Sequence[int]) -> list[int]:
    """The cost of every set of pitch classes, as a mask with the note itself at 0."""
    costs = [0] * 4096
    for mask in range(1, 4096):
        rest = mask & mask - 1
        costs[mask] = costs[rest] + weights[(mask ^ rest).bit_length() - 1]
    return costs


# any motion as MOTION knows it: 2 stands for anything wider than a semitone
_STEPS: dict[int, int] = {
    NO_NOTE: NO_NOTE,
    **{semitones: max(-2, min(2, semitones)) for semitones in range(-127, 128)},
}
_NEAR_COSTS = _mask_costs(NEAR)
_SOUNDING_COSTS = _mask_costs(SOUNDING)
# steps up and down by one and two semitones, then the repeat, then leaps
_PAIR_COSTS: dict[int, dict[int, int]] = {
    semitones: {
        motion: (
            ALIKE * (motion != 0)
            if not semitones
            else STEP.get((semitones, motion), LEAP[min(abs(motion), len(LEAP) - 1)])
        )
        for motion in range(-48, 49)
    }
    for semitones in range(-2, 3)
}
_LEAP_COSTS = {
    motion: LEAP[min(abs(motion), len(LEAP) - 1)] for motion in range(-48, 49)
}


def moment_signatures(
    counts: Sequence[Sequence[int]],
    signatures: Sequence[int],
    tones: Sequence[Sequence[int]] | None = None,
) -> list[int]:
    """The signature of the moment in each bar.

    Args:
        counts: how often each of the twelve sounds occurs in a bar, in the order
            of the line of fifths from C.
        signatures: the signature in force in each bar.
        tones: the places of the chord tones in each bar.
    """
    last = len(counts) - 1
    moments: list[int] = []
    for bar, here in enumerate(counts):
        key = signatures[bar]
        heard = [2 * n for n in here]
        if bar:
            heard = [n + m for n, m in zip(heard, counts[bar - 1], strict=True)]
        if bar < last:
            heard = [n + m for n, m in zip(heard, counts[bar + 1], strict=True)]
        start = key % 12
        if not any((heard + heard)[start + 6 : start + 11]):
            moments.append(key)
            continue
        moments.append(_moment(heard, key, tones[bar] if tones is not None else ()))
    return moments


def _moment(heard: list[int], key: int, tones: Sequence[int]) -> int:
    total = sum(heard)
    twice = heard + heard
    best, best_score = key, -(10**9)
    for away in (0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6):
        signature = key + away
        if abs(signature) > _MAX_MOMENT and away:
            continue
        start = signature % 12
        score = -STRAY * abs(away) * total
        for weight, number in zip(IN_KEY, twice[start : start + 12], strict=True):
            score += weight * number
        for tone in tones:
            if not -7 < tone - signature < 11:
                score -= OTHER_SIDE
        if score > best_score:
            best, best_score = signature, score
    return best


def signature_scores(
    durations: Sequence[float], numbers: Sequence[int], first: int, last: int
) -> list[tuple[int, float]]:
    """How well each signature, from 6 flats to 6 sharps, fits what is heard.

    Args:
        durations: how long each of the twelve sounds is heard, in the order of the
            line of fifths from C.
        numbers: how often each is heard.
        first: the sound heard first, counted on the line of fifths from C.
        last: the sound heard last.
    """
    length, total = sum(durations) or 1, sum(numbers) or 1
    scores: list[tuple[int, float]] = []
    for signature in (0, -1, 1, -2, 2, -3, 3, -4, 4, -5, 5, -6, 6):
        score = -FEW_SIGNS * abs(signature) + KEY_FIRST[(first - signature) % 12]
        told = float(score + KEY_LAST[(last - signature) % 12])
        for place in range(12):
            sound = (place + signature) % 12
            told += KEY_DURATIONS[place] * durations[sound] / length
            told += KEY_NUMBERS[place] * numbers[sound] / total
        scores.append((signature, told))
    return scores


def signatures_of_bars(counts: Sequence[Sequence[int]]) -> list[int]:
    """The signature of each bar, changing only where that gains much."""
    signatures = range(-6, 7)
    costs = [0] * 13
    came_from: list[list[int]] = []
    for here in counts:
        twice = [*here, *here]
        cheapest = min(costs)
        change = costs.index(cheapest)
        back: list[int] = []
        for number, signature in enumerate(signatures):
            if cheapest + NEW_KEY < costs[number]:
                costs[number] = cheapest + NEW_KEY
                back.append(change)
            else:
                back.append(number)
            start = signature % 12
            costs[number] += 10 * sum(twice[start + 6 : start + 11])
        came_from.append(back)
    at = costs.index(min(costs))
    path: list[int] = []
    for back in reversed(came_from):
        path.append(signatures[at])
        at = back[at]
    path.reverse()
    return path


def best_places(
    midi: Sequence[int],
    moments: Sequence[int],
    *,
    voices: Sequence[int] | None = None,
    sounding: Sequence[int] | None = None,
    chords: Sequence[Tones | None] | None = None,
    next_chords: Sequence[Tones | None] | None = None,
    named: Sequence[int | None] | None = None,
) -> list[int]:
    """The place of each note on the line of fifths.

    Args:
        midi: the notes in order of onset.
        moments: the signature of the moment at each note.
        voices: the voice of each note; all one voice if not given.
        sounding: the pitch classes sounding with each note, as a mask of 12 bits.
        chords: the chord tones at each note.
        next_chords: the tones of the chord that comes next.
        named: the names that are settled already.
    """
    places, open_notes = _first_places(midi, moments, chords, named)
    if not open_notes:
        return places
    bits = [1 << number % 12 for number in midi]
    for line in _lines(voices, len(midi)):
        for at, end in _stretches(line, open_notes):
            costs = []
            for number in range(at, end):
                index = line[number]
                cost = _raised_cost(line, number, midi, moments, bits, sounding)
                if chords is not None:
                    cost += CHORD_TONE * _told(chords[index], places[index])
                    if next_chords is not None:
                        told = _told(next_chords[index], places[index])
                        cost += NEXT_CHORD_TONE * told
                costs.append(cost + open_notes[index])
            _settle(line, at, end, costs, midi, places)
    return places


def _first_places(
    midi: Sequence[int],
    moments: Sequence[int],
    chords: Sequence[Tones | None] | None,
    named: Sequence[int | None] | None,
) -> tuple[list[int], dict[int, int]]:
    """The place of each note as settled, or else raised; and the notes that may be
    lowered, with what that leans on."""
    places = [0] * len(midi)
    open_notes: dict[int, int] = {}
    for index, number in enumerate(midi):
        own = named[index] if named is not None else None
        if own is not None:
            places[index] = own
            continue
        moment = moments[index]
        degree = (7 * number - moment) % 12
        if 5 < degree < 11:
            places[index] = moment + degree
            open_notes[index] = 0
            continue
        place = moment + degree if degree < 6 else moment - 1
        told = _told_otherwise(chords[index], place) if chords is not None else 0
        if told:
            open_notes[index] = told * IN_MOMENT
            place += 12 if told > 0 else 0
        places[index] = place
    return places, open_notes


def _lines(voices: Sequence[int] | None, count: int) -> Iterable[Sequence[int]]:
    """The notes of each voice, as indices."""
    if voices is None:
        return [range(count)]
    by_voice: dict[int, list[int]] = {}
    for index, voice in enumerate(voices):
        by_voice.setdefault(voice, []).append(index)
    return by_voice.values()


def _stretches(
    line: Sequence[int], open_notes: Collection[int]
) -> Iterator[tuple[int, int]]:
    """Where notes that are open follow one another in a line: first, and past the
    last."""
    start: int | None = None
    for number, index in enumerate(line):
        if index not in open_notes:
            if start is not None:
                yield start, number
            start = None
        elif start is None:
            start = number
    if start is not None:
        yield start, len(line)


def _told(tones: Tones | None, raised: int) -> int:
    """1 if the chord has the lowered name, -1 if it has the raised one."""
    if not tones:
        return 0
    return (raised - 12 in tones) - (raised in tones)


def _told_otherwise(tones: Tones | None, place: int) -> int:
    """1 if a chord has the higher name of a note of the key, and not the key's own;
    -1 if it has the lower one.  Names like B♯ and F♭ are no reason to leave the key."""
    if not tones or place in tones:
        return 0
    if place < -1:
        return int(place + 12 in tones)
    return -(place > 5 and place - 12 in tones)


def _raised_cost(
    line: Sequence[int],
    number: int,
    midi: Sequence[int],
    moments: Sequence[int],
    bits: list[int],
    sounding: Sequence[int] | None,
) -> int:
    """What the raised name costs more than the lowered one."""
    index = line[number]
    sound = midi[index]
    last = len(line) - 1
    after = number
    while after <= last and midi[line[after]] == sound:
        after += 1
    ahead = midi[line[after]] - sound if after <= last else NO_NOTE
    before = number
    while before >= 0 and midi[line[before]] == sound:
        before -= 1
    behind = sound - midi[line[before]] if before >= 0 else NO_NOTE
    degree = (7 * sound - moments[index]) % 12
    cost = RAISED.get(degree, 0) + MOTION[_STEPS[behind]][_STEPS[ahead]]
    if len(line) == len(midi):
        cost += ALONE.get(degree, 0)
        if behind == 1 == ahead:
            cost += ALONE_PASSING_UP
    mask = 0
    for bit in bits[max(0, index - NEAR_NOTES) : index + NEAR_NOTES + 1]:
        mask |= bit
    turn = sound % 12
    mask = (mask >> turn | mask << 12 - turn) & 4095
    cost += _NEAR_COSTS[mask]
    if sounding is not None:
        mask = sounding[index]
        mask = (mask >> turn | mask << 12 - turn) & 4095
        cost += _SOUNDING_COSTS[mask]
    return cost


def _settle(
    line: Sequence[int],
    start: int,
    end: int,
    raised_costs: list[int],
    midi: Sequence[int],
    places: list[int],
) -> None:
    """Choose the cheapest path through a stretch of open notes, into `places`."""
    last = len(line) - 1
    first = line[start]
    high, low = raised_costs[0], 0
    if start:
        earlier = line[start - 1]
        pair = _pair(midi[first] - midi[earlier])
        motion = places[first] - places[earlier]
        high += pair[motion]
        low += pair[motion - 12]
    ways: list[tuple[bool, bool]] = []
    for number in range(start + 1, end):
        index, earlier = line[number], line[number - 1]
        pair = _pair(midi[index] - midi[earlier])
        motion = places[index] - places[earlier]
        alike, up, down = pair[motion], pair[motion + 12], pair[motion - 12]
        from_low_to_high = low + up < high + alike
        from_low_to_low = low + alike <= high + down
        ways.append((from_low_to_high, from_low_to_low))
        high, low = (
            (low + up if from_low_to_high else high + alike)
            + raised_costs[number - start],
            low + alike if from_low_to_low else high + down,
        )
    if end <= last:
        index, later = line[end - 1], line[end]
        pair = _pair(midi[later] - midi[index])
        motion = places[later] - places[index]
        high += pair[motion]
        low += pair[motion + 12]
    lowered = low <= high
    for number in range(end - 1, start - 1, -1):
        if lowered:
            places[line[number]] -= 12
        if number > start:
            lowered = ways[number - start - 1][1 if lowered else 0]


def _pair(semitones: int) -> dict[int, int]:
    return _PAIR_COSTS[semitones] if -2 <= semitones <= 2 else _LEAP_COSTS
