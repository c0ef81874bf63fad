"""Small MusicXML scores for tests: elements as text, and what reading them gives."""

from leadsheet_theory.leadsheet.model import Rest
from leadsheet_theory.musicxml import parse_lead_sheet

FOUR = "<time><beats>4</beats><beat-type>4</beat-type></time>"
TWO = "<time><beats>2</beats><beat-type>4</beat-type></time>"
C_KEY = "<key><fifths>0</fifths></key>"


def start(time=FOUR, key=C_KEY, more="", divisions=1):
    return (
        f"<attributes><divisions>{divisions}</divisions>{key}{time}{more}</attributes>"
    )


def note(pitch, duration=1, more="", before=""):
    if pitch == "rest":
        what = "<rest/>"
    else:
        step, octave = pitch[0], pitch[-1]
        alter = {"#": 1, "b": -1}.get(pitch[1:-1])
        altered = "" if alter is None else f"<alter>{alter}</alter>"
        what = f"<pitch><step>{step}</step>{altered}<octave>{octave}</octave></pitch>"
    return f"<note>{before}{what}<duration>{duration}</duration>{more}</note>"


def harmony(root="C", kind="major", more="", text=None):
    printed = "" if text is None else f' text="{text}"'
    alter = {"#": 1, "b": -1}.get(root[1:])
    altered = "" if alter is None else f"<root-alter>{alter}</root-alter>"
    return (
        f"<harmony><root><root-step>{root[0]}</root-step>{altered}</root>"
        f"<kind{printed}>{kind}</kind>{more}</harmony>"
    )


def words(text, attributes="", more=""):
    return (
        f"<direction><direction-type><words {attributes}>{text}</words>"
        f"</direction-type>{more}</direction>"
    )


FULL = note("C5", 4)


def score(*measures, head="", part_list="", parts=""):
    """A score of one part; a measure is its content, or (attributes, content)."""
    bars = ""
    for number, measure in enumerate(measures, 1):
        attributes, content = (
            measure if isinstance(measure, tuple) else (f'number="{number}"', measure)
        )
        bars += f"<measure {attributes}>{content}</measure>"
    return (
        f"<score-partwise>{head}<part-list>{part_list}</part-list>"
        f'<part id="P1">{bars}</part>{parts}</score-partwise>'
    )


def read(*measures, **options):
    return parse_lead_sheet(score(*measures, **options).encode())


def bars(*measures, **options):
    return read(*measures, **options).sheet.bars


def said(result, rule=None):
    """The findings as text, without those on layout and the like."""
    return [
        str(finding)
        for finding in result.findings
        if (finding.rule == rule if rule else finding.severity != "note")
    ]


def line(voice):
    """A voice in short: pitch or rest, and duration in quarters."""
    return " ".join(
        ("rest" if isinstance(event, Rest) else str(event.pitch)) + f":{event.duration}"
        for event in voice
    )
