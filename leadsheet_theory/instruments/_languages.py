"""What German, French, Italian and Spanish parts call instruments and their keys.

Common practice, without a published source.  Words that mean another instrument in
English are left out: the French *alto* (a viola), *cor* (a horn; *cor.* is a cornet)
and *bugle* (a flugelhorn).
"""

from __future__ import annotations

from typing import Final

__all__ = ("GERMAN", "GERMAN_KEYS", "KEY_PAIRS", "KEY_WORDS", "LANGUAGES")

GERMAN: Final[dict[str, str]] = {
    "trumpet": "trompete trompeten",
    "bass trumpet": "basstrompete",
    "piccolo trumpet": "piccolotrompete",
    "trombone": "posaune posaunen",
    "alto trombone": "altposaune",
    "tenor trombone": "tenorposaune",
    "bass trombone": "bassposaune",
    "valve trombone": "ventilposaune",
    "saxophone": "saxophon saxofon saxofone",
    "soprano saxophone": "sopransaxophon sopransaxofon sopransax",
    "alto saxophone": "altsaxophon altsaxofon altsax",
    "tenor saxophone": "tenorsaxophon tenorsaxofon tenorsax",
    "baritone saxophone": "baritonsaxophon baritonsaxofon baritonsax",
    "bass saxophone": "basssaxophon basssaxofon",
    "clarinet": "klarinette klarinetten",
    "bass clarinet": "bassklarinette",
    "alto clarinet": "altklarinette",
    "flute": "flöte floete flöten querflöte querfloete",
    "alto flute": "altflöte altquerflöte",
    "bass flute": "bassflöte",
    "piccolo flute": "piccoloflöte pikkoloflöte",
    "horn": "hörner waldhorn",
    "english horn": "englischhorn",
    "cornet": "kornett",
    "flugelhorn": "flügelhorn fluegelhorn flügelhörner",
    "bassoon": "fagott",
    "contrabassoon": "kontrafagott",
    "piano": "klavier",
    "electric piano": "epiano",
    "organ": "orgel",
    "accordion": "akkordeon",
    "guitar": "gitarre gitarren",
    "electric guitar": "egitarre",
    "electric bass": "ebass",
    "contrabass": "kontrabass",
    "violin": "violine violinen geige geigen",
    "viola": "bratsche bratschen",
    "harp": "harfe",
    "vibraphone": "vibraphon vibrafon",
    "xylophone": "xylophon xylofon",
    "mandolin": "mandoline",
    "chromatic": "chromatische",
    "diatonic": "diatonische",
    "harmonica": "mundharmonika",
    "voice": "stimme gesang gesangsstimme singstimme",
}
_FRENCH: Final[dict[str, str]] = {
    "trumpet": "trompette",
    "clarinet": "clarinette",
    "flute": "flûte",
    "baritone": "baryton",
    "bass": "basse",
    "contrabass": "contrebasse",
    "bassoon": "basson",
    "oboe": "hautbois",
    "organ": "orgue",
    "accordion": "accordéon",
    "guitar": "guitare",
    "electric": "électrique",
    "violin": "violon",
    "cello": "violoncelle",
    "harp": "harpe",
    "synthesizer": "synthétiseur",
    "chromatic": "chromatique",
    "diatonic": "diatonique",
    "voice": "voix chant",
}
_ITALIAN: Final[dict[str, str]] = {
    "trumpet": "tromba trombe",
    "trombone": "tromboni",
    "saxophone": "sassofono sassofoni",
    "clarinet": "clarinetto clarinetti",
    "flute": "flauto flauti",
    "horn": "corno corni",
    "english": "inglese",
    "cornet": "cornetta",
    "flugelhorn": "flicorno",
    "euphonium": "eufonio",
    "tenor": "tenore",
    "baritone": "baritono",
    "bass": "basso",
    "contrabass": "contrabbasso",
    "bassoon": "fagotto",
    "organ": "organo",
    "accordion": "fisarmonica",
    "guitar": "chitarra chitarre",
    "electric": "elettrico elettrica",
    "violin": "violino violini",
    "viola": "viole",
    "harp": "arpa",
    "vibraphone": "vibrafono",
    "xylophone": "xilofono silofono",
    "mandolin": "mandolino",
    "synthesizer": "sintetizzatore",
    "chromatic": "cromatica",
    "diatonic": "diatonica",
    "harmonica": "armonica",
    "voice": "voce canto",
}
_SPANISH: Final[dict[str, str]] = {
    "trumpet": "trompeta",
    "trombone": "trombón",
    "saxophone": "saxofón saxófono",
    "clarinet": "clarinete",
    "flute": "flauta",
    "horn": "trompa",
    "english": "inglés",
    "cornet": "corneta",
    "flugelhorn": "fliscorno",
    "euphonium": "bombardino",
    "baritone": "barítono",
    "bass": "bajo",
    "contrabass": "contrabajo",
    "bassoon": "fagot",
    "organ": "órgano",
    "accordion": "acordeón",
    "guitar": "guitarra",
    "electric": "eléctrico eléctrica",
    "violin": "violín",
    "cello": "violonchelo violoncelo chelo",
    "vibraphone": "vibráfono",
    "xylophone": "xilófono",
    "mandolin": "mandolina",
    "synthesizer": "sintetizador",
    "voice": "voz",
}

LANGUAGES: Final = (GERMAN, _FRENCH, _ITALIAN, _SPANISH)
"""From the English words to what each language says for them."""

GERMAN_KEYS: Final = {"b": "bb", "es": "eb", "as": "ab", "des": "db"}
"""The keys as German names them: *Trompete in B* is a trumpet in B♭."""

KEY_WORDS: Final = {
    "ut": "c", "do": "c", "fa": "f", "sib": "bb", "mib": "eb",
}  # fmt: skip
"""The keys that French, Italian and Spanish name by a syllable; ``si♭`` is *sib*."""

KEY_PAIRS: Final = {
    (syllable, flat): key
    for syllable, key in (("si", "bb"), ("mi", "eb"), ("la", "ab"), ("re", "db"))
    for flat in ("bemol", "bemolle")
}
"""Their flat keys in two words: *en si bémol*."""
