"""The frozen documents: nothing personal in what stays, one byte form, a seal over all."""

import json
import tomllib
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import pytest

from studio.document import canonical
from studio.estimate.engine import ENGINE
from studio.proposals.freeze import DOMAIN, SCHEMA, seal_of, unpacked
from studio.proposals.shown import shown
from tests.estimate.said import ALWAYS, WALL
from tests.proposals.by_hand import HEADING, PARTIES, SALT, estimate, frozen, option

HERE = Path(__file__).parent
GOLDEN = HERE / "golden"
DIGESTS = ("drawings_sha256", "making_sha256", "costs_sha256")
ADDED = (
    "lines_with_tax", "survey", "masses_g", "fits", "whole", "hung_from", "site_days", "holds_percent",
    "seams_after_columns", "seams_after_rows", "light", "light_layout", "light_strip", "light_control",
    "light_diffuser_mm", "prices", "light_hours_a_day", "light_price_per_kwh", "hanger",
)  # fmt: skip
"""Keys that documents of this schema have come to have since their golden files: readers do without them."""


def lasting(document: bytes) -> bytes:
    """Without what was added, the digests, the engine, and the words of workings."""
    left_out = {*ADDED, *DIGESTS, "engine", "working"}
    return canonical(
        json.loads(document, object_hook=lambda v: {key: v[key] for key in v if key not in left_out})
    )


def golden(document: str, schema: int = SCHEMA) -> bytes:
    return (GOLDEN / f"{document}-schema-{schema}.json").read_bytes().rstrip(b"\n")


@pytest.fixture(scope="module")
def issued():
    return frozen(option("A"), option("B", measured=False))


def test_documents_are_those_of_the_golden_files(issued):
    """A difference here means a new schema number and new golden files, never changed ones. Only keys may be
    added, drawings come to be drawn better (their digest is compared below), and the engine to price
    otherwise."""
    assert lasting(issued.figures) == lasting(golden("figures"))
    assert lasting(unpacked(issued.making)) == lasting(golden("making"))
    assert lasting(unpacked(issued.costs)) == lasting(golden("costs"))


def test_figures_of_every_schema_show_the_same(issued):
    sheets = [shown(json.loads(golden("figures", schema))) for schema in range(1, SCHEMA + 1)]
    assert [option.price.amount for option in sheets[0].options] == ["£1,200.00", "£1,080.00 to £1,320.00"]
    assert len(list(GOLDEN.glob("figures-*.json"))) == SCHEMA
    assert all(sheet == sheets[0] for sheet in sheets)


def test_in_schema_1_the_workings_of_an_option_told_of_the_annex():
    figures = json.loads(golden("figures", 1))
    assert not shown(figures).annex
    figures["options"][1]["workings"] = []
    assert shown(figures).annex


def test_nothing_personal_is_in_what_stays():
    """The brief's title, "Ms Adeyemi's hall", is the commission's; the discount has a reason."""
    sent = option(discount="for Zoë's mother")
    made = frozen(sent)
    for document in (made.figures, *map(unpacked, (made.drawings, made.making, made.costs))):
        text = document.decode()
        for name in ("Adeyemi", "Mill Road", "client.example", "Hall", "hall", "Tam", PARTIES["salt"], "Zoë"):
            assert name not in text
        assert sent.estimate.digest not in text
    assert json.loads(made.parties)["discount"] == "for Zoë's mother"


def test_what_was_promised_is_in_the_figures(issued):
    figures = json.loads(issued.figures)
    assert (figures["schema"], figures["engine"], figures["issue"]) == (2, "0.3.0", 1)
    first = figures["options"][0]
    assert first["estimate"]["net"] == "1000.00"
    assert [line["amount"] for line in first["estimate"]["client_lines"]] == ["900.00", "100.00"]
    assert first["estimate"]["cells"] == {"whole": 42, "half": 12, "quarter": 0, "open": 0}
    assert first["palette"][-1] == {
        "pattern": "hemp-leaf",
        "name": "Hemp leaf",
        "filament": "Tea",
        "colour": "#b08d57",
        "count": 54,
    }
    assert figures["cautions"] == [WALL, *ALWAYS]


def test_lines_totals_and_margin_are_in_the_costs(issued):
    costs = json.loads(unpacked(issued.costs))
    assert costs["salt"] == SALT
    first = costs["options"]["A"]
    assert (first["cost"], first["margin_percent"], first["rate_book_sha256"]) == ("650.00", "35", "r" * 64)
    assert [line["amount"] for line in first["lines"]] == ["650.00", "350.00"]
    assert first["lines"][0]["working"]["formula"] == "minutes ÷ 60 × rate"
    assert [total["text"] for total in first["totals"]] == [
        *("Cost", "Net", "VAT, 20 %", "Gross", "On approval, 50 %", "On hand-over, 50 %", "Margin left")
    ]
    assert first["totals"][0]["working"]["inputs"] == [
        {"name": "labour", "value": "650.00 GBP", "origin": "computed"}
    ]


def test_the_annex_is_a_choice_that_the_figures_record(issued):
    assert json.loads(issued.figures)["annex"] is False
    chosen = frozen(option("A"), option("B", measured=False), annex=True)
    assert chosen.figures == issued.figures.replace(b'"annex":false', b'"annex":true')
    assert chosen.seal != issued.seal


def test_bytes_are_the_same_each_time_and_canonical(issued):
    assert frozen(option("A"), option("B", measured=False)) == issued
    spelt = json.dumps(json.loads(issued.figures), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert spelt.encode() == issued.figures


def test_the_seal_covers_both_documents(issued):
    digests = sha256(issued.figures).digest(), sha256(issued.parties).digest()
    assert issued.seal == sha256(DOMAIN + b"".join(digests)).hexdigest()
    other_price = frozen(option("A"), option("B", measured=False), heading=replace(HEADING, issue=2))
    other_salt = frozen(option("A"), option("B", measured=False), parties=PARTIES | {"salt": "11" * 16})
    assert len({issued.seal, other_price.seal, other_salt.seal}) == 3
    assert other_salt.figures == issued.figures


def test_a_seal_is_not_a_plain_digest_of_the_digests(issued):
    plain = sha256(bytes.fromhex(issued.figures_sha256) + bytes.fromhex(issued.parties_sha256)).hexdigest()
    assert seal_of(issued.figures_sha256, issued.parties_sha256) != plain


def test_the_seal_reaches_every_document(issued):
    packed = [unpacked(document) for document in (issued.drawings, issued.making, issued.costs)]
    figures = json.loads(issued.figures)
    assert [figures[name] for name in DIGESTS] == [sha256(document).hexdigest() for document in packed]
    assert all(json.loads(packed[0])[letter]["elevation"].startswith("<svg") for letter in "AB")
    assert json.loads(packed[1]).keys() == {"A", "B"}


def test_cautions_of_all_options_keep_their_order():
    texts = {"A": ("walls", "heat", "codes"), "B": ("walls", "mains", "codes")}
    options = tuple(
        replace(option(letter), estimate=replace(estimate(), cautions=cautions))
        for letter, cautions in texts.items()
    )
    cautions = json.loads(frozen(*options).figures)["cautions"]
    assert cautions == ["walls", "mains", "heat", "codes"]


def test_the_engine_is_this_project():
    project = tomllib.loads((HERE.parents[1] / "pyproject.toml").read_text())["project"]
    assert project["version"] == ENGINE
