"""The lead's side: who works here, who may come in, and whose patient is whose. One person alone has one menu."""

import json

import pytest

from bot.messaging.inbox import handle_next
from bot.ports import Came
from core.records import Status
from core.use_cases.digesting import plan_digest
from tests.bot.conversation.chat import CHANNEL, Clinics, Patient
from tests.bot.conversation.staff.desk import Desk, whole


class Stranger(Patient):
    """Somebody whom nobody knows yet."""

    def kinds(self) -> list[str]:
        return [message.kind for _, message, _ in self.clinic.delivered if message.address == self.address]


def code_in(desk: Desk) -> str:
    """The code of the invitation that was told last."""
    *_, told = (shown for _, message, shown in desk.clinic.delivered if message.kind == "invitation")
    return told.text.rpartition(": ")[2]


def test_one_person_working_alone_has_one_menu_and_one_list(clinic: Clinics):
    solo = Desk(clinic, "solo", lead=True)
    solo.sends("help")
    assert len([kind for kind in solo.sends("start") if kind == "therapist.help"]) == 1
    lines = solo.last().split("\n")
    assert len(lines) == len({line.partition(" -")[0] for line in lines})
    solo.has_many("Pastry cook")
    solo.sends("caseload")
    assert "1. Pastry cook" in solo.last()
    solo.sends("team")
    assert "Therapist solo: 1 patient (you, lead)" in solo.last()
    assert list(solo.buttons()) == ["Invite a therapist"]


def test_a_patient_is_invited_confirmed_and_begins(clinic: Clinics, ben: Desk):
    assert ben.sends("invite", "Cellist") == ["therapist.invited", "invitation", "invitation.sheet"]
    code = code_in(ben)
    assert "Cellist" not in ben.last()
    cellist = Stranger(clinic, "cellist")
    cellist.sends("start", code)
    assert cellist.kinds() == ["newcomer.wait"]
    assert "used your invitation for Cellist: is that the right person?" in ben.last()
    before = whole(clinic)
    assert ben.taps_label("Yes, let them in") == ["therapist.confirmed"]
    assert cellist.kinds()[-1] == "enrol.consent"
    assert whole(clinic) != before
    after = whole(clinic)
    assert ben.taps(f"1.t.s.{cellist.person().id}") == ["therapist.refused"]
    assert whole(clinic) == after
    assert Stranger(clinic, "somebody").sends("start", code) == ["stranger.bad_code"]


def test_a_stranger_who_used_an_invitation_leaves_nothing_behind(clinic: Clinics, ben: Desk):
    before = whole(clinic)
    stranger = Stranger(clinic, "passer-by")
    stranger.sends("start", ben.code("Cellist"))
    assert ben.taps_label("No, a stranger") == ["therapist.stranger"]
    assert stranger.kinds()[-1] == "stranger.not_confirmed"
    assert whole(clinic) == before
    assert stranger.types("4, all") == ["stranger.way_in"]
    with clinic.store.reading() as uow:
        assert uow.people.at(CHANNEL, "passer-by") is None


def test_an_alias_is_asked_for_where_none_was_given(ben: Desk):
    assert ben.sends("invite") == ["therapist.invite.ask"]
    assert ben.types("x" * 61) == ["therapist.refused"]
    assert ben.types("  Cellist \n of the quartet ") == ["therapist.invited", "invitation", "invitation.sheet"]
    assert "Cellist of the quartet" in ben.read()[-3].text


def test_the_lead_lets_a_therapist_in(clinic: Clinics, anna: Desk):
    anna.sends("team")
    assert anna.taps_label("Invite a therapist") == ["therapist.invite.ask"]
    anna.types("Dora")
    dora = Stranger(clinic, "dora")
    dora.sends("start", code_in(anna))
    assert dora.kinds() == ["therapist.unconfirmed"]
    assert "used the invitation for the therapist Dora" in anna.last()
    anna.taps_label("Yes, let them in")
    assert dora.kinds()[-1] == "therapist.welcome"
    assert "/team" not in dora.last()
    assert dora.sends("caseload") == ["therapist.caseload"]


def test_only_the_lead_invites_therapists_and_sees_the_team(clinic: Clinics, ben: Desk):
    before = whole(clinic)
    assert ben.sends("team") == ["therapist.refused"]
    assert "Only the clinic lead" in ben.last()
    assert ben.taps("1.t.a.therapist") == ["therapist.refused"]
    assert ben.taps("1.t.t.staff-anna") == ["therapist.refused"]
    assert ben.taps("1.t.i.0.staff-anna") == ["therapist.old_button"]
    assert whole(clinic) == before


def test_the_lead_looks_into_a_colleagues_caseload_and_hands_somebody_over(clinic: Clinics, anna: Desk, ben: Desk):
    (cook, _) = ben.has_many("Pastry cook", "Bricklayer")
    anna.sends("caseload")
    assert "Pastry" not in anna.last()
    anna.sends("team")
    assert "Therapist ben: 2 patients" in anna.last()
    assert anna.taps_label("Therapist ben") == ["therapist.caseload"]
    assert anna.last().startswith("Patients of Therapist ben:")
    anna.taps_label(next(label for label in anna.buttons() if "Pastry" in label))
    anna.taps_label("Hand over")
    assert anna.taps_label("Therapist anna") == ["therapist.act.confirm"]
    assert "out of sight" not in anna.last()
    anna.says_yes()
    assert cook.person().therapist_id == anna.me.id
    anna.sends("caseload")
    assert "Pastry cook" in anna.last()


def test_a_therapist_without_patients_may_leave_and_is_shown_nothing_any_more(clinic: Clinics, anna: Desk, ben: Desk):
    (cook,) = ben.has_many("Pastry cook")
    assert ben.sends("leave") == ["therapist.refused"]
    assert "Hand them over or discharge them first." in ben.last()
    ben.tap_about("v", cook)
    ben.taps_label("Therapist anna")
    ben.says_yes()
    assert ben.sends("leave") == ["therapist.leave"]
    yes = ben.buttons()["Yes"]
    assert ben.types("hm") == ["therapist.leave"]
    asked_again = ben.buttons()["Yes"]
    assert ben.taps(yes) == ["therapist.old_button"]
    assert ben.me.left_at is None
    assert ben.taps(asked_again) == ["therapist.leave.done"]
    assert ben.me.left_at
    assert ben.tap_about("o", cook) == ["stranger.way_in"]
    assert ben.sends("caseload") == ["stranger.way_in"]


def test_the_lead_ends_a_colleague_but_not_the_clinic(clinic: Clinics, anna: Desk, ben: Desk):
    cleo = Desk(clinic, "cleo")
    assert cleo.taps(f"1.t.end.{ben.me.id}") == ["therapist.refused"]
    anna.sends("team")
    assert anna.taps_label("End: Therapist ben") == ["therapist.leave"]
    assert anna.types("no") == ["therapist.nothing_changed"]
    anna.sends("team")
    anna.taps_label("End: Therapist ben")
    anna.says_yes()
    assert ben.me.left_at
    assert anna.sends("leave") == ["therapist.leave"]
    before = whole(clinic)
    assert anna.says_yes() == ["therapist.refused"]
    assert "A clinic needs a lead." in anna.last()
    assert whole(clinic) == before


def test_a_patient_without_a_therapist_is_on_the_leads_list(clinic: Clinics, anna: Desk, ben: Desk):
    patient = Patient(clinic, "drummer")
    patient.sends("start", clinic.invite("Drummer"))
    anna.sends("caseload")
    assert "Drummer: at the first questions (not begun)" in anna.last()
    ben.sends("caseload")
    assert "Drummer" not in ben.last()


def test_there_is_nobody_to_hand_over_to_where_one_works_alone(clinic: Clinics):
    solo = Desk(clinic, "solo", lead=True)
    (cook,) = solo.has_many("Pastry cook")
    before = whole(clinic)
    assert solo.tap_about("v", cook) == ["therapist.refused"]
    assert "no other therapist" in solo.last()
    assert whole(clinic) == before


def test_a_therapist_who_opens_a_patients_link_is_told_to_use_another_account(clinic: Clinics, anna: Desk, ben: Desk):
    code = anna.code("Cellist")
    assert ben.sends("start", code) == ["start.other_account"]
    cellist = Stranger(clinic, "cellist")
    cellist.sends("start", code)
    assert cellist.person().status == Status.UNCONFIRMED


@pytest.mark.parametrize(
    ("typed", "weekday", "time"),
    [
        ("tuesday 8:15", 1, "08:15"), ("8:15 Tue", 1, "08:15"), ("18h30", 0, "18:30"), ("fri 0700", 4, "07:00"),
    ],
)  # fmt: skip
def test_the_digest_comes_when_the_therapist_says(clinic: Clinics, ben: Desk, typed: str, weekday: int, time: str):
    ben.sends("hours")
    assert "on Monday at 07:30 (Lisbon)" in ben.last()
    assert ben.types(typed) == ["therapist.hours.set"]
    assert (ben.me.digest_weekday, ben.me.digest_time.isoformat("minutes")) == (weekday, time)
    assert ben.me.next_digest == plan_digest(ben.me, clinic.clock()).next_digest
    assert ben.me.next_digest > clinic.clock()


def test_the_hour_of_the_digest_can_be_tapped_and_follows_the_zone(clinic: Clinics, ben: Desk):
    ben.sends("hours")
    ben.taps_label("Wed")
    ben.taps_label("18:00")
    assert "on Wednesday at 18:00 (Lisbon)" in ben.last()
    at_home = ben.me.next_digest
    assert at_home
    ben.sends("zone")
    ben.types("Auckland")
    assert ben.me.zone == "Pacific/Auckland"
    assert ben.me.next_digest
    assert (at_home - ben.me.next_digest).total_seconds() == 13 * 3600


@pytest.mark.parametrize("typed", ["25:00", "someday", "mon tue 8:00", "8:00 9:00", "", "x" * 10_000])
def test_an_hour_that_is_none_is_asked_for_again(clinic: Clinics, ben: Desk, typed: str):
    ben.sends("hours")
    before = whole(clinic)
    assert ben.types(typed) == ["therapist.hours"]
    assert ben.last().startswith("I did not get that.")
    assert whole(clinic) == before


def test_a_town_that_is_none_is_asked_for_again_and_a_near_one_is_offered(clinic: Clinics, ben: Desk):
    ben.sends("zone")
    assert ben.types("Qwxz") == ["therapist.zone"]
    assert ben.types("Lisbn") == ["therapist.zone"]
    ben.taps_label("Lisbon")
    assert ben.last() == "Your digest comes on Monday at 07:30 (Lisbon)."


@pytest.mark.parametrize(("typed", "monday"), [("", "2026-03-02"), ("1", "2026-02-23"), ("2", "2026-02-16")])
def test_the_digest_of_any_week_can_be_asked_for(clinic: Clinics, ben: Desk, typed: str, monday: str):
    ben.has_many("Pastry cook")
    for _ in range(2):  # also again
        clinic.put(ben.address, Came.COMMAND, command="digest", text=typed)
        assert handle_next(clinic.app)
        with clinic.store.writing() as uow:
            asked = []
            while items := uow.sending.claim(clinic.clock(), 10, "test", 60.0):
                for item in items:
                    uow.sending.sent(item.id, clinic.clock(), None)
                asked += [item.message for item in items]
            uow.commit()
        assert asked[0].kind == "therapist.digest"
        assert {message.words.to_draw["week"] for message in asked} == {monday}
        assert {message.address for message in asked} == {ben.address}


@pytest.mark.parametrize("typed", ["-1", "one", "105", "9" * 5000, "²", "1 2"])
def test_a_week_that_is_none_is_told(ben: Desk, typed: str):
    assert ben.sends("digest", typed) == ["therapist.digest.which"]


def test_the_whole_caseload_goes_into_two_files_and_nobody_elses(clinic: Clinics, anna: Desk, ben: Desk):
    cook, layer = ben.has_many("=Pastry cook", "Bricklayer")
    anna.has_many("Cellist")
    assert ben.sends("export") == ["therapist.export.nobody"]
    clinic.live_to(0, "19:05")
    cook.types("4, all")
    layer.types("5, 2")
    assert ben.sends("export") == ["therapist.export.all", "therapist.export.all"]
    (csv_name, csv_file), (json_name, json_file) = (shown.document for shown in ben.read()[-2:] if shown.document)
    assert (csv_name, json_name) == ("diary.csv", "diary.json")
    # a cell that a spreadsheet would run is defused (OWASP, CSV Injection)
    assert b"\"'=Pastry cook\",\"2026-03-02\",\"yes\",4,4,4" in csv_file
    rows = json.loads(json_file)
    told = [(row["alias"], row["pain"], row["sets_done"]) for row in rows]
    assert told == [("=Pastry cook", 4, 4), ("Bricklayer", 5, 2)]
    assert b"Cellist" not in csv_file + json_file
    assert ben.trail(cook)[0] == "export"


def test_nobody_is_made_a_lead_from_the_chat(clinic: Clinics, anna: Desk):
    assert anna.taps("1.t.a.lead") == ["therapist.old_button"]
    assert anna.dialogue().flow == ""
