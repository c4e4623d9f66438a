"""No important change: the mean of the latest weeks against the first one's, looked at once on each of three days."""

from dataclasses import replace

from core.model import Episode, Figure, NoticeKind
from core.programme import Plateau, Programme
from core.rule.draft import Draft
from core.rule.trend import Trend


def check_plateau(programme: Programme, out: Draft, trend: Trend, first_week_before: float | None) -> None:
    """Adds a notice when a look is due and finds too small a fall; each look is made once and kept in `told`.

    `first_week_before` is the first week's mean as it stood before tonight. A look that falls due before that
    mean is known is passed over: there is nothing yet to compare with.
    """
    first, rule = out.episode.first_week_mean, programme.rule.plateau
    if first is None or trend.week_ratings < programme.rule.weeks.ratings.value:
        return
    ratings = trend.ratings(rule.mean_days.value)
    mean = sum(ratings) / len(ratings)
    day = (trend.today - out.episode.started).days + 1
    for kind, due in _looks(rule):
        if day < due.value or kind.value in out.episode.told:
            continue
        out.episode = _mark(out.episode, kind)
        if first_week_before is not None and _too_small(rule, kind, first, mean):
            out.notices.append(kind)
            out.see_clinician = out.see_clinician or kind is not NoticeKind.PLATEAU_6_WEEKS


def _looks(rule: Plateau) -> tuple[tuple[NoticeKind, Figure], ...]:
    return (
        (NoticeKind.PLATEAU_6_WEEKS, rule.early_days),
        (NoticeKind.PLATEAU_12_WEEKS, rule.middle_days),
        (NoticeKind.PLATEAU_26_WEEKS, rule.late_days),
    )


def _mark(episode: Episode, kind: NoticeKind) -> Episode:
    return replace(episode, told=episode.told | {kind.value})


def _too_small(rule: Plateau, kind: NoticeKind, first: float, mean: float) -> bool:
    """Source of shares and points: Farrar 2001 and IMMPACT 2008, as the programme file names them."""
    if mean <= rule.quiet_mean.value:
        return False
    fall = round(first - mean, 9)
    if first < rule.low_start.value:
        return kind is not NoticeKind.PLATEAU_6_WEEKS and fall < rule.points.value
    if kind is NoticeKind.PLATEAU_6_WEEKS:
        return fall < rule.early_share.value * first
    if kind is NoticeKind.PLATEAU_12_WEEKS:
        return fall < rule.middle_share.value * first and fall < rule.points.value
    return fall < rule.late_share.value * first
