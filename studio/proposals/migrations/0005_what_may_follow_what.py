"""The order of things, kept by the database: a yes to what an issue offers while it stands, a variation or a
cancellation after a yes, nothing after a cancellation."""

from django.db import migrations

from studio.guards import Guard, again, append_only, frozen_columns, never_deleted, refused

COMMISSION_OF = "(SELECT commission_id FROM proposals_proposal WHERE id = {proposal})"
YES_IN = (
    "SELECT 1 FROM proposals_decision said JOIN proposals_proposal its ON its.id = said.proposal_id"
    " WHERE said.answer = 'approved' AND its.commission_id = {commission}"
)
CANCELLED_IN = (
    "EXISTS (SELECT 1 FROM proposals_cancellation called JOIN proposals_decision said"
    " ON said.id = called.decision_id JOIN proposals_proposal its ON its.id = said.proposal_id"
    " WHERE its.commission_id = {commission})"
)
CALLED_OFF = "SELECT 1 FROM proposals_cancellation called WHERE called.decision_id = NEW.decision_id"
NEWEST_YES = (
    "SELECT 1 FROM proposals_decision sold JOIN proposals_proposal own ON own.id = sold.proposal_id"
    " WHERE sold.id = NEW.decision_id AND sold.answer = 'approved' AND NOT EXISTS ({later})"
)
SOLD = NEWEST_YES.format(later=YES_IN.format(commission="own.commission_id") + " AND its.place > own.place")
"""That the decision is the newest yes of its commission."""


def _before(name: str, table: str, condition: str, rule: str) -> Guard:
    return refused(f"{table}_{name}", table, "INSERT", condition, rule)


class Migration(migrations.Migration):
    dependencies = [("proposals", "0004_options_of_old_issues")]

    operations = [
        *append_only("proposals_issuedoption"),
        _before(
            "before_its_link",
            "proposals_issuedoption",
            "EXISTS (SELECT 1 FROM proposals_link WHERE issue_id = NEW.issue_id)",
            "is complete once its issue has a link",
        ),
        *again(
            [
                *never_deleted("proposals_decision"),
                *frozen_columns(
                    "proposals_decision",
                    (
                        "id",
                        "issue_id",
                        "proposal_id",
                        "answer",
                        "letter",
                        "currency",
                        "gross_minor",
                        "how",
                        "seal",
                        "said_on",
                        "agreed_on",
                        "at",
                        "by_id",
                    ),
                    may_be_emptied=("person",),
                ),
            ]
        ),
        _before(
            "while_it_stands",
            "proposals_decision",
            "NOT EXISTS (SELECT 1 FROM proposals_proposalissue issue"
            " WHERE issue.id = NEW.issue_id AND issue.state = 'issued')",
            "is of an issue that stands",
        ),
        _before(
            "as_offered",
            "proposals_decision",
            "NEW.answer = 'approved' AND NOT EXISTS (SELECT 1 FROM proposals_issuedoption offered"
            " WHERE offered.issue_id = NEW.issue_id AND offered.letter = NEW.letter"
            " AND offered.currency = NEW.currency AND offered.gross_minor = NEW.gross_minor)",
            "has an option and price of its issue",
        ),
        _before(
            "agrees_to_a_day",
            "proposals_decision",
            "(NEW.answer = 'approved') <> (NEW.agreed_on IS NOT NULL)",
            "agrees to a day where it is a yes",
        ),
        _before(
            "not_after_the_end",
            "proposals_decision",
            CANCELLED_IN.format(commission=COMMISSION_OF.format(proposal="NEW.proposal_id")),
            "comes before a cancellation",
        ),
        _before(
            "follows_a_yes",
            "proposals_proposal",
            "NEW.place > 1 AND NOT EXISTS ("
            + YES_IN.format(commission="NEW.commission_id")
            + ") OR "
            + CANCELLED_IN.format(commission="NEW.commission_id"),
            "after the first follows a yes",
        ),
        *never_deleted("proposals_cancellation"),
        *frozen_columns(
            "proposals_cancellation",
            ("id", "decision_id", "owed_minor", "currency", "at", "by_id"),
            may_be_emptied=("who", "why"),
        ),
        _before(
            "of_what_is_sold",
            "proposals_cancellation",
            f"NOT EXISTS ({SOLD} AND sold.currency = NEW.currency)",
            "is of the newest yes, in its currency",
        ),
        *append_only("proposals_release"),
        _before(
            "of_what_is_sold",
            "proposals_release",
            f"NOT EXISTS ({SOLD}) OR EXISTS ({CALLED_OFF})",
            "is of the newest yes, not cancelled",
        ),
    ]
