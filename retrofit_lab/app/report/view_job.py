"""Whose house it is and who rated it, as the lines that stand on top of a report and of a trade's page."""

from datetime import date

from retrofit_lab.app.shared.words import Words
from retrofit_lab.proposals.content import ReportContent

Lines = dict[str, list[str]]


def who(content: ReportContent, words: Words) -> Lines:
    """Lines for the owner and for a trade; what no one said is left out."""
    job = content.job
    client = words.say("owner.client", client=job.client) if job.client else ""
    visited = words.say("owner.visited", day=day_of(job.date, words)) if job.date else ""
    names = _joined(job.rater, job.credential, job.company, job.contact)
    rated = words.say("owner.rated", rater=names) if names else ""
    house = "" if job.client else content.name
    return {
        "owner": list(
            filter(None, [_joined(client, job.address), ". ".join(filter(None, (visited, rated)))])
        ),
        "trade": list(filter(None, [_joined(house, client, job.address), rated])),
    }


def _joined(*parts: str) -> str:
    return ", ".join(filter(None, parts))


def day_of(text: str, words: Words) -> str:
    """A date of the job in words; as it was typed where it is no date."""
    try:
        return words.day(date.fromisoformat(text))
    except ValueError:
        return text
