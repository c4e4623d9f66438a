import json
from dataclasses import asdict

import pytest

from bot.wording.attention import per_week, trend_short, trend_words
from core.digest.weekly_trend import Direction, WeeklyTrend
from tests.bot.digest_cases import TEXT, digest_of, file_of, usual

FALLING = WeeklyTrend(8, 3.0, -0.25, -0.4, -0.1, -0.8)
ONE_OF_EACH = {
    Direction.TOO_FEW: WeeklyTrend(2, 4.0),
    Direction.NO_VARIATION: WeeklyTrend(6, 3.0, 0.0, 0.0, 0.0, None),
    Direction.NO_INTERVAL: WeeklyTrend(4, 3.0, -0.25, None, None, -0.5),
    Direction.RISING: WeeklyTrend(7, 3.0, 0.25, 0.1, 0.4, 0.8),
    Direction.FALLING: FALLING,
    Direction.OPEN: WeeklyTrend(8, 3.0, 0.0, -0.3, 0.2, -0.1),
}


@pytest.mark.parametrize("direction", Direction)
def test_each_trend_has_words_and_none_says_that_nothing_changed(direction):
    trend = ONE_OF_EACH[direction]

    words = trend_words(TEXT, trend)

    assert trend.direction is direction
    assert "no change" not in words
    assert ("no variation" in words) == (direction is Direction.NO_VARIATION)
    assert ("tau_b" in words) == ("95 %" in words) == (direction in ("rising", "falling", "open"))


def test_a_trend_is_told_with_its_interval_tau_and_weeks():
    assert trend_words(TEXT, FALLING) == (
        "falling, −0.25 points a week (95 % interval −0.40 to −0.10, 8 weekly means, Kendall's tau_b −0.80)"
    )
    assert "tau" not in trend_words(TEXT, FALLING, on_paper=False)
    assert trend_words(TEXT, ONE_OF_EACH[Direction.OPEN]).startswith(
        "direction not certain, 0.00 points a week (95 % interval −0.30 to +0.20"
    )
    assert trend_words(TEXT, WeeklyTrend(1)) == "cannot be told yet: 1 of the last 8 weeks has a mean, it takes 4"
    assert trend_words(TEXT, ONE_OF_EACH[Direction.NO_INTERVAL]).endswith("takes 5 of them")
    assert trend_short(TEXT, FALLING) == "−0.25 (−0.40 to −0.10)"
    assert trend_short(TEXT, ONE_OF_EACH[Direction.NO_INTERVAL]) == "−0.25"
    assert trend_short(TEXT, WeeklyTrend(3, 4.0)) == "-"


def test_what_only_rounds_to_nothing_keeps_its_sign():
    assert (per_week(TEXT, -0.0034), per_week(TEXT, 0.0), per_week(TEXT, -0.25)) == ("−0.00", "0.00", "−0.25")


def test_a_trend_comes_back_from_a_stored_message_as_it_was():
    assert WeeklyTrend(**json.loads(json.dumps(asdict(FALLING)))) == FALLING


def test_the_file_has_everybodys_trend_in_the_overview_and_on_their_page():
    found, file = digest_of(usual()), file_of(usual())

    assert file.overview
    place = file.overview.caseload.head.index("Trend a week (95 % interval)")
    for week, row, page in zip(found.patients, file.overview.caseload.rows, file.pages, strict=True):
        assert row[place] == trend_short(TEXT, week.trend)
        assert dict(page.facts)["Trend"] == trend_words(TEXT, week.trend)
