"""What the store keeps: frozen records, their ids made before saving, their times aware and in UTC."""

from core.records.course import Answer, CheckIn, CheckInState, Course, Notice, Outcome, SignQuestion, StoredDecision
from core.records.people import Audit, Clinic, Invitation, Note, Person, Role, Staff, Status, Whose
from core.records.queues import (
    Dialogue,
    Due,
    InboxItem,
    Lost,
    OutboxItem,
    OutboxState,
    Outgoing,
    Priority,
    Queue,
    Queues,
    Turns,
    Update,
)
from core.records.values import Facts

__all__ = [
    "Answer",
    "Audit",
    "CheckIn",
    "CheckInState",
    "Clinic",
    "Course",
    "Dialogue",
    "Due",
    "Facts",
    "InboxItem",
    "Invitation",
    "Lost",
    "Note",
    "Notice",
    "OutboxItem",
    "OutboxState",
    "Outcome",
    "Outgoing",
    "Person",
    "Priority",
    "Queue",
    "Queues",
    "Role",
    "SignQuestion",
    "Staff",
    "Status",
    "StoredDecision",
    "Turns",
    "Update",
    "Whose",
]
