"""Weights for the melody search, fitted on some lead sheets to be tried on others.

Every chromatic note that its chord doesn't name is raised or lowered in the source; a
logistic regression finds the weights that make those choices likely, its neighbours'
names given.  Nothing of the library's own weights goes in but the tables' shape.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import numpy as np
from _spelled_scores import Score
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

from leadsheet_theory.spelling import _note_search, _weights
from leadsheet_theory.spelling.melody import _named

NAT = 21.3
"""So many of the library's units make one reading e times as likely as the other."""

Feature = tuple[object, ...]
Row = tuple[dict[Feature, float], bool]


def rows_of(score: Score) -> list[Row]:
    """What speaks for each open note of a lead sheet, and whether it is lowered."""
    midi = [note.heard.midi for note in score.notes]
    true = [note.place for note in score.notes]
    bars = [note.heard.bar for note in score.notes]
    signatures = [score.keys[bar].signature for bar in bars]
    tones = [tuple(tone.fifths for tone in note.chord) for note in score.notes]
    named = _named(midi, tones, signatures)
    coming = [()] * len(midi)
    for at in range(len(midi) - 2, -1, -1):
        same = tones[at + 1] == tones[at]
        coming[at] = coming[at + 1] if same else tones[at + 1]
    rows: list[Row] = []
    for at, moment in enumerate(_moments(midi, bars, signatures, tones)):
        degree = (7 * midi[at] - moment) % 12
        raised = moment + degree
        if not 5 < degree < 11 or named[at] is not None:
            continue
        if true[at] not in (raised, raised - 12):
            continue
        told = _melodic(midi, at, degree)
        for name, chord in (("chord", tones[at]), ("next", coming[at])):
            told[(name,)] = (raised - 12 in chord) - (raised in chord)
        for other, ahead in ((at - 1, False), (at + 1, True)):
            if 0 <= other < len(midi):
                _step(told, midi, true, (at, other), raised, ahead=ahead)
        rows.append((told, true[at] != raised))
    return rows


def _moments(midi, bars, signatures, tones) -> list[int]:
    counts: list[list[int]] = []
    chords: list[list[int]] = []
    keys: list[int] = []
    groups: list[int] = []
    chord: tuple[int, ...] = ()
    for at, number in enumerate(midi):
        if not at or bars[at] != bars[at - 1]:
            chord = ()
            counts.append([0] * 12)
            chords.append([])
            keys.append(signatures[at])
        counts[-1][7 * number % 12] += 1
        if tones[at] != chord:
            chord = tones[at]
            chords[-1].extend(chord)
            for tone in chord:
                counts[-1][tone % 12] += 1
        groups.append(len(counts) - 1)
    found = _note_search.moment_signatures(counts, keys, chords)
    return [found[group] for group in groups]


def _melodic(midi: Sequence[int], at: int, degree: int) -> dict[Feature, float]:
    sound, last = midi[at], len(midi) - 1
    after = next((n for n in range(at, last + 1) if midi[n] != sound), None)
    before = next((n for n in range(at, -1, -1) if midi[n] != sound), None)
    steps = _note_search._STEPS
    no_note = _weights.NO_NOTE
    ahead = no_note if after is None else steps[midi[after] - sound]
    behind = no_note if before is None else steps[sound - midi[before]]
    told: dict[Feature, float] = {
        ("raised", degree): 1, ("motion", behind, ahead): 1,
        ("from", behind): 1, ("to", ahead): 1,
    }  # fmt: skip
    for near in {
        (number - sound) % 12 for number in midi[max(0, at - 10) : at + 11]
    } - {0}:
        told["near", near] = 1
    return told


def _step(told, midi, true, pair, raised: int, *, ahead: bool) -> None:
    at, other = pair
    semitones = midi[other] - midi[at] if ahead else midi[at] - midi[other]
    if not semitones:
        return
    for place, sign in ((raised, 1), (raised - 12, -1)):
        motion = true[other] - place if ahead else place - true[other]
        kind: Feature = ("leap", min(abs(motion), len(_weights.LEAP) - 1))
        if (semitones, motion) in _weights.STEP:
            kind = ("step", semitones, motion)
        told[kind] = told.get(kind, 0) + sign


def fitted(rows: Sequence[Row], ridge: float = 1.0) -> dict[Feature, float]:
    """The weights, in the library's units, that fit some rows."""
    index: dict[Feature, int] = {}
    for told, _ in rows:
        for feature in told:
            index.setdefault(feature, len(index))
    cells = [
        (number, index[feature], value)
        for number, (told, _) in enumerate(rows)
        for feature, value in told.items()
    ]
    where, which, values = zip(*cells, strict=True)
    table = csr_matrix((values, (where, which)), shape=(len(rows), len(index)))
    lowered = np.array([each for _, each in rows], dtype=float)

    def loss(weights):
        told = table @ weights
        slope = table.T @ (1 / (1 + np.exp(-told)) - lowered) + ridge * weights
        size = ridge / 2 * (weights @ weights)
        return (np.logaddexp(0, told) - lowered * told).sum() + size, slope

    found = minimize(loss, np.zeros(len(index)), jac=True, method="L-BFGS-B").x
    return {feature: NAT * found[at] for feature, at in index.items()}


@contextmanager
def using(weights: dict[Feature, float]) -> Iterator[None]:
    """The library's search with these weights for as long as it lasts."""
    search = _note_search
    kept = (
        dict(_weights.RAISED),
        {one: dict(row) for one, row in _weights.MOTION.items()},
        list(search._NEAR_COSTS),
        {one: dict(row) for one, row in search._PAIR_COSTS.items()},
        dict(search._LEAP_COSTS),
        (search.CHORD_TONE, search.NEXT_CHORD_TONE),
    )

    def told(*feature: object) -> int:
        return round(weights.get(feature, 0))

    try:
        for degree in _weights.RAISED:
            _weights.RAISED[degree] = told("raised", degree)
        for one, row in _weights.MOTION.items():
            for other in row:
                row[other] = round(
                    weights.get(("motion", one, other), 0)
                    + weights.get(("from", one), 0)
                    + weights.get(("to", other), 0)
                )
        near = [told("near", semitones) for semitones in range(12)]
        search._NEAR_COSTS[:] = search._mask_costs(near)
        leaps = [told("leap", size) for size in range(len(_weights.LEAP))]
        for semitones, costs in search._PAIR_COSTS.items():
            for motion in costs:
                leap = leaps[min(abs(motion), len(leaps) - 1)]
                if semitones and (semitones, motion) in _weights.STEP:
                    leap = told("step", semitones, motion)
                costs[motion] = leap if semitones else costs[motion]
        for motion in search._LEAP_COSTS:
            search._LEAP_COSTS[motion] = leaps[min(abs(motion), len(leaps) - 1)]
        search.CHORD_TONE, search.NEXT_CHORD_TONE = told("chord"), told("next")
        yield
    finally:
        _weights.RAISED.update(kept[0])
        for one, row in kept[1].items():
            _weights.MOTION[one].update(row)
        search._NEAR_COSTS[:] = kept[2]
        for one, row in kept[3].items():
            search._PAIR_COSTS[one].update(row)
        search._LEAP_COSTS.update(kept[4])
        search.CHORD_TONE, search.NEXT_CHORD_TONE = kept[5]
