"""The caseload a page at a time, the latest notices, and a patient found by a typed name."""

from bot.conversation.staff.page import on_open
from bot.conversation.staff.patients import shown
from bot.conversation.talk import StaffTalk
from core.records import Notice, Staff
from core.timetable import local_date
from core.use_cases.caseload import CaseloadRow, caseload, caseload_row, notices_seen, patients_seen
from core.use_cases.open_matters import open_notices
from core.use_cases.rights import audit, may_see
from core.use_cases.tasks import task_facts

ON_A_PAGE = 10
NOTICES_ON_A_PAGE = 5
NOTICES_READ = 200
LONGEST_NAME = 80


def caseload_list(talk: StaffTalk) -> None:
    """The first page of the caseload."""
    say_rows(talk, caseload(talk.work, talk.staff), 0)


def on_page(talk: StaffTalk, page: str, therapist_id: str) -> None:
    """A further page: of the own caseload, or of a colleague's for the lead."""
    therapist = talk.work.uow.staff.get(therapist_id) if therapist_id else None
    if not page.isdecimal() or (therapist_id and (therapist is None or not talk.staff.lead)):
        talk.say("therapist.old_button")
    else:
        say_rows(talk, caseload(talk.work, talk.staff, therapist), int(page[:4]), therapist)


def say_rows(
    talk: StaffTalk, rows: tuple[CaseloadRow, ...], page: int, therapist: Staff | None = None, found: str = ""
) -> None:
    """One page of rows; a page beyond the end is the last one."""
    pages = max(-(-len(rows) // ON_A_PAGE), 1)
    page = min(page, pages - 1)
    first = page * ON_A_PAGE
    talk.say(
        "therapist.caseload",
        rows=[_row(row) for row in rows[first : first + ON_A_PAGE]],
        first=first + 1,
        total=len(rows),
        page=page,
        pages=pages,
        therapist=therapist.id if therapist else "",
        therapist_name=therapist.name if therapist else "",
        found=found,
    )


def _row(row: CaseloadRow) -> dict[str, object]:
    return {
        "person": row.id,
        "name": row.name,
        "status": row.status.value,
        "attention": [code.value for code in row.attention],
        "step": row.step,
        "steps": row.steps,
        "mean": row.mean,
        "tasks": task_facts(row.tasks),
        "stopped": row.stopped,
        "silent_days": row.silent_days,
        "last_answered": row.last_answered,
    }


def find(talk: StaffTalk) -> None:
    """A text while nothing is asked: a patient's name, or part of it; the only one it fits is opened at once."""
    wanted = " ".join(talk.came.text.casefold().split())
    people = patients_seen(talk.work, talk.staff, discharged=True) if 0 < len(wanted) <= LONGEST_NAME else ()
    found = [each for each in people if wanted in " ".join(each.name.casefold().split())]
    if len(found) == 1:
        on_open(talk, found[0].id, "")
    elif found:  # how they stand is read of these alone
        audit(talk.work, talk.staff, "caseload")
        rows = sorted((caseload_row(talk.work, each) for each in found), key=lambda row: row.order)
        say_rows(talk, tuple(rows), 0, found=talk.came.text)
    else:
        talk.say("therapist.not_found")


def notices_list(talk: StaffTalk) -> None:
    """The first page of the notices about the patients one may see."""
    on_notices_page(talk, "0", "")


def on_notices_page(talk: StaffTalk, page: str, _: str) -> None:
    """Notices a page at a time, the newest first; what is not dealt with yet is marked."""
    if not page.isdecimal():
        talk.say("therapist.old_button")
        return
    audit(talk.work, talk.staff, "notices")
    whose = notices_seen(talk.staff)
    count = min(talk.work.uow.notices.count(whose), NOTICES_READ)
    pages = max(-(-count // NOTICES_ON_A_PAGE), 1)
    number = min(int(page[:4]), pages - 1)
    some = talk.work.uow.notices.page(whose, NOTICES_ON_A_PAGE, number * NOTICES_ON_A_PAGE)
    talk.say("therapist.notices", notices=[_notice(talk, each) for each in some], page=number, pages=pages)


def _notice(talk: StaffTalk, notice: Notice) -> dict[str, object]:
    person = talk.work.uow.people.get(notice.person_id)
    seen = person is not None and may_see(talk.staff, person)
    still_open = person is not None and notice.id in {each.id for each in open_notices(talk.work, person)}
    return {
        **(shown(person) if person and seen else {"person": "", "name": ""}),
        "kind": notice.kind.value,
        "flag": str(notice.facts.get("flag", "")),
        "date": local_date(notice.at, talk.staff.zone),
        "text": notice.text,
        "open": still_open,
    }
