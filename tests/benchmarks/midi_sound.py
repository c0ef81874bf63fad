"""Render a demo tune to sound with a general-purpose synthesiser and check its length.

    pip install pretty_midi
    python tests/benchmarks/midi_sound.py [CHART] [--to FILE.wav]

pretty_midi is no dependency of the project: it reads the file that `write_midi` writes
and makes sine waves of it.  The sound must be as long as the form at its tempo, the
count-in and all bars as they are played.  With --to it is written as a WAV file.
"""

from __future__ import annotations

import argparse
import sys
import wave
from fractions import Fraction
from io import BytesIO
from pathlib import Path

HOME = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HOME))

import numpy as np  # noqa: E402
import pretty_midi  # noqa: E402

from leadsheet_theory import play_order, read_lead_sheet  # noqa: E402
from leadsheet_theory.midi import write_midi  # noqa: E402

DEMO = HOME / "shared" / "charts" / "harbourmasters_day_off.musicxml"
RATE = 22_050


def main() -> int:
    """Render, check, say so."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("chart", nargs="?", type=Path, default=DEMO)
    parser.add_argument("--to", type=Path)
    options = parser.parse_args()
    sheet = read_lead_sheet(options.chart).sheet
    data = write_midi(sheet)
    sound = pretty_midi.PrettyMIDI(BytesIO(data)).synthesize(fs=RATE)
    bars = [sheet.bars[index] for index in play_order(sheet.bars).indices]
    quarters = bars[0].meter.bar_length + sum(bar.length for bar in bars)
    if bars[0].is_pickup:
        quarters += bars[0].meter.pickup_start(bars[0].length)
    tempo = sheet.tempo
    pace = Fraction(120) if tempo is None else tempo.per_minute * tempo.beat.duration
    wanted = float(quarters * 60 / pace)
    length = len(sound) / RATE
    print(f"{sheet.title}: {length:.2f} s of sound, {wanted:.2f} s of music")
    if options.to:
        loud = np.max(np.abs(sound)) or 1
        with wave.open(str(options.to), "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(2)
            file.setframerate(RATE)
            file.writeframes((sound / loud * 32_000).astype("<i2").tobytes())
    # the last notes ring on for up to a second
    return 0 if wanted - 0.1 <= length <= wanted + 1.1 and np.any(sound) else 1


if __name__ == "__main__":
    sys.exit(main())
