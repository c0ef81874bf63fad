"""Read thousands of damaged texts in ABC: nothing but our own error may come of it.

    python tests/benchmarks/abc_mutate.py [--count 20000] [--seed 1]

Takes tunes of music21's corpus and a text with every construct in turn, damages each at
random (the same seed gives the same damage) and reads it.  Exits 1 if anything but an
`AbcReadError` came out, or a reading took over a second.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from random import Random
from time import process_time

HOME = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests" / "benchmarks")]

from abc_agreement import tunes  # noqa: E402

from leadsheet_theory.abc import parse_abc, write_abc  # noqa: E402
from leadsheet_theory.errors import AbcReadError  # noqa: E402

MAX_SECONDS = 1.0
EVERYTHING = r"""%abc-2.1
X:1
T:Every \'Etude
C:words by A. Singer
Q:"Medium" 1/4=120
P:(AB)2.A
M:(2+3)/8
L:1/8
U: W = !tenuto!
m: ~G3 = G{A}G
V:1 clef=treble-8
V:2 name="Rhythm" clef=perc
K:D Phr ^f transpose=-2
V:1
P:A
|: "Am7"A>B (3cde {/g}f2- | [M:3/4] "^soft"[CEG]2/3 !mf!Wf .g~G3 & C4 z2 \
|1 Z :|2 y x2 !D.S.!|]
w: one two-three_ * four | five
T:Bridge
[K:Eb]"G(Em)"e//f3/2 (a(b c)d) !segno! H[_B^^c]-[_B^^c] | (5:4:6 abcdef "C"c-`"F"c $
s: "C" * !>! |
V:2
B2 z2 B2 | z6 |]
"""
PIECES = (
    "[", "]", "(", ")", "{", "}", "|", ":", "||", "|:", ":|", "::", "[1", "[2-9",
    "|1,3", '"', '"C', "!", "!segno!", "+", "&", "&&&", "-", "`", "~", "<<<<", ">",
    "(3", "(9:0:7", "(99:99:99", "Z", "Z999", "Z99999", "X0", "x", "y", "z0", "/",
    "////////", "c9999", "c99999999", "C/0", "^", "___", "=", ",,,,,,,,,,,,",
    "''''''''''''", "[K:", "[K:Q]", "[M:0/4]", "[M:999/1]", "[L:1/0]", "[L:9999]",
    "[Q:0]", "[V:7]", "[P:Z]", "\\", "\n", "\n\n", "X:2\n", "K:\n", "K:G\n", "M:none\n",
    "L:1/1\n", "V:9\n", "P:((((\n", "w:", "w:a-_*|||~\n", 's:"C"!!\n', "m:n=nnnnnnnn\n",
    "U:Z=!x!\n", "%%begintext\n", "%", "I:linebreak !\n", "I:decoration +\n",
    "%%propagate-accidentals not\n", "\r", "\x00", "é", "♭", "\u2028",
    "K:C transpose=99\n", "K:C octave=-9\n", "+:\n", "d:|", "::::::|",
)  # fmt: skip


def drop(text: str, random: Random) -> str:
    start = random.randrange(len(text))
    return text[:start] + text[start + random.randint(1, 30) :]


def double(text: str, random: Random) -> str:
    start = random.randrange(len(text))
    return text[: start + random.randint(1, 200)] + text[start:]


def insert(text: str, random: Random) -> str:
    for _ in range(random.randint(1, 6)):
        place = random.randrange(len(text) + 1)
        text = text[:place] + random.choice(PIECES) + text[place:]
    return text


def swap(text: str, random: Random) -> str:
    letters = list(text)
    for _ in range(random.randint(1, 8)):
        letters[random.randrange(len(letters))] = chr(random.randrange(1, 0x180))
    return "".join(letters)


def cut(text: str, random: Random) -> str:
    return text[: random.randrange(len(text))]


def shuffle(text: str, random: Random) -> str:
    lines = text.split("\n")
    random.shuffle(lines)
    return "\n".join(lines)


DAMAGE: tuple[Callable[[str, Random], str], ...] = (
    drop, double, insert, swap, cut, shuffle, insert, insert,
)  # fmt: skip


def main() -> int:
    """Run the mutations and print what came of them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    random = Random(options.seed)
    texts = [text for _, text in random.sample(tunes(), 300)]
    outcomes: Counter[str] = Counter()
    strangers: list[str] = []
    slowest = (0.0, 0)
    for turn in range(options.count):
        text = EVERYTHING if turn % 3 == 0 else texts[turn % len(texts)]
        text = random.choice(DAMAGE)(text, random)
        start = process_time()
        try:
            read = parse_abc(text)
            outcomes["read"] += 1
            if turn % 10 == 0:
                for tune in read:
                    write_abc(tune.sheet)
        except AbcReadError:
            outcomes["refused"] += 1
        except Exception as error:
            outcomes["other"] += 1
            strangers.append(f"{turn}: {error!r}")
        slowest = max(slowest, (process_time() - start, turn))
    print(f"{options.count} mutations, seed {options.seed}: {dict(outcomes)}")
    print(f"slowest {slowest[0]:.3f} s (turn {slowest[1]})")
    print("\n".join(strangers[:20]))
    return 1 if strangers or slowest[0] > MAX_SECONDS else 0


if __name__ == "__main__":
    sys.exit(main())
