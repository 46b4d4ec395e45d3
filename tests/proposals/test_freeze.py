"""The frozen documents: nothing personal in the figures, one byte form, a seal over both."""

import json
import tomllib
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import pytest

from studio.proposals.freeze import DOMAIN, ENGINE, SCHEMA, freeze, seal_of, unpacked
from studio.proposals.shown import shown
from tests.estimate.said import ALWAYS, WALL
from tests.proposals.by_hand import HEADING, PARTIES, estimate, option

HERE = Path(__file__).parent
GOLDEN = HERE / "golden" / "figures-schema-1.json"


@pytest.fixture(scope="module")
def frozen():
    return freeze(HEADING, (option("A"), option("B", measured=False)), PARTIES)


def test_figures_are_those_of_the_golden_file(frozen):
    """A difference here means a new schema number and a new golden file, never a changed one. Only drawings
    may come to be drawn better: their digest is compared with them below."""
    golden = GOLDEN.read_bytes().rstrip(b"\n")
    ours, theirs = (json.loads(text)["drawings_sha256"].encode() for text in (frozen.figures, golden))
    assert frozen.figures.replace(ours, theirs) == golden


def test_golden_figures_of_every_schema_can_be_shown():
    sheets = [shown(json.loads(path.read_bytes())) for path in sorted(GOLDEN.parent.glob("*.json"))]
    assert len(sheets) == SCHEMA
    assert [option.price.amount for option in sheets[0].options] == [
        "£1,200.00",
        "£1,080.00 to £1,320.00",
    ]


def test_nothing_personal_is_in_the_figures_or_drawings():
    """The brief's title, "Ms Adeyemi's hall", is the commission's; the discount has a reason."""
    sent = option(discount="for Zoë's mother")
    frozen = freeze(HEADING, (sent,), PARTIES)
    for text in (frozen.figures.decode(), unpacked(frozen.drawings).decode()):
        for name in ("Adeyemi", "Mill Road", "client.example", "Hall", "hall", "Tam", PARTIES["salt"], "Zoë"):
            assert name not in text
        assert sent.estimate.digest not in text
    assert json.loads(frozen.parties)["discount"] == "for Zoë's mother"


def test_everything_that_was_computed_is_in_the_figures(frozen):
    figures = json.loads(frozen.figures)
    assert (figures["schema"], figures["engine"], figures["issue"]) == (1, "0.1.0", 1)
    first = figures["options"][0]
    assert first["estimate"]["net"] == "1000.00"
    assert [line["amount"] for line in first["estimate"]["lines"]] == ["650.00", "350.00"]
    assert first["estimate"]["cells"] == {"whole": 42, "half": 12, "quarter": 0, "open": 0}
    assert first["rate_book_sha256"] == "r" * 64
    assert first["palette"][-1] == {
        "pattern": "hemp-leaf",
        "name": "Hemp leaf",
        "filament": "Tea",
        "colour": "#b08d57",
        "count": 54,
    }
    assert figures["cautions"] == [WALL, *ALWAYS]


def test_totals_with_their_workings_only_when_they_were_chosen(frozen):
    assert all("workings" not in option for option in json.loads(frozen.figures)["options"])
    (sent,) = json.loads(freeze(HEADING, (option(workings=True),), PARTIES).figures)["options"]
    assert [total["text"] for total in sent["workings"]] == [
        *("Cost", "Net", "VAT, 20 %", "Gross", "On approval, 50 %", "On hand-over, 50 %", "Margin left")
    ]
    assert sent["workings"][0]["working"]["inputs"] == [
        {"name": "labour", "value": "650.00 GBP", "origin": "computed"}
    ]
    assert sent["estimate"]["lines"][0]["working"]["formula"] == "minutes ÷ 60 × rate"


def test_bytes_are_the_same_each_time_and_canonical(frozen):
    again = freeze(HEADING, (option("A"), option("B", measured=False)), PARTIES)
    assert (again.figures, again.parties, again.drawings) == (frozen.figures, frozen.parties, frozen.drawings)
    spelt = json.dumps(json.loads(frozen.figures), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert spelt.encode() == frozen.figures


def test_the_seal_covers_both_documents(frozen):
    digests = sha256(frozen.figures).digest(), sha256(frozen.parties).digest()
    assert frozen.seal == sha256(DOMAIN + b"".join(digests)).hexdigest()
    other_price = freeze(replace(HEADING, issue=2), (option("A"), option("B", measured=False)), PARTIES)
    other_salt = freeze(HEADING, (option("A"), option("B", measured=False)), {**PARTIES, "salt": "11" * 16})
    assert len({frozen.seal, other_price.seal, other_salt.seal}) == 3
    assert other_salt.figures == frozen.figures


def test_a_seal_is_not_a_plain_digest_of_the_digests(frozen):
    plain = sha256(bytes.fromhex(frozen.figures_sha256) + bytes.fromhex(frozen.parties_sha256)).hexdigest()
    assert seal_of(frozen.figures_sha256, frozen.parties_sha256) != plain


def test_the_seal_reaches_the_drawings(frozen):
    drawings = unpacked(frozen.drawings)
    assert json.loads(frozen.figures)["drawings_sha256"] == sha256(drawings).hexdigest()
    assert json.loads(drawings)["A"]["elevation"].startswith("<svg")


def test_cautions_of_all_options_keep_their_order():
    texts = {"A": ("walls", "heat", "codes"), "B": ("walls", "mains", "codes")}
    options = tuple(
        replace(option(letter), estimate=replace(estimate(), cautions=cautions))
        for letter, cautions in texts.items()
    )
    cautions = json.loads(freeze(HEADING, options, PARTIES).figures)["cautions"]
    assert cautions == ["walls", "mains", "heat", "codes"]


def test_the_engine_is_this_project():
    project = tomllib.loads((HERE.parents[1] / "pyproject.toml").read_text())["project"]
    assert project["version"] == ENGINE
