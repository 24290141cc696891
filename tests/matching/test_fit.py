"""Does an answer's range fit the vehicle? A near neighbour is kept out; what nobody knows keeps nothing out."""

from __future__ import annotations

import pytest
from toys import answer, fact, held

from triage.matching.fit import Listed, denied_values, fit, mentioned_values, scope_values
from triage.model import Standing

ELECTRIC = {"powertrain": "electric"}


def fitted(scope, *facts):
    holds = [item for item in facts if item.standing.holds]
    return fit(scope_values(answer("a", **scope)), held(*holds), denied_values(facts))


@pytest.mark.parametrize(
    ("scope", "told", "excluded"),
    [
        pytest.param({"powertrain": "petrol"}, fact("powertrain", "electric"), True, id="petrol-never-to-electric"),
        pytest.param({"powertrain": "electric"}, fact("powertrain", "petrol"), True, id="electric-never-to-petrol"),
        pytest.param({"powertrain": "petrol"}, fact("powertrain", "electric", Standing.INFERRED), True, id="inferred"),
        pytest.param({"powertrain": "petrol"}, fact("powertrain", "electric", Standing.HEDGED), False, id="not-hedged"),
        pytest.param({"powertrain": "electric"}, fact("powertrain", "electric"), False, id="same-powertrain"),
        pytest.param({"makes": ["Ospren"]}, fact("make", "Tarvik"), True, id="other-make"),
        pytest.param({"makes": ["Ospren", "Tarvik"]}, fact("make", "tarvik"), False, id="one-of-the-makes"),
        pytest.param({"models": ["Lark"]}, fact("model", "Lark Li"), True, id="other-model"),
        pytest.param({"voltages": [36]}, fact("pack_voltage", 48), True, id="other-voltage"),
        pytest.param({"voltages": [36, 48]}, fact("pack_voltage", 48.0), False, id="one-of-the-voltages"),
        pytest.param({"chemistries": ["lithium"]}, fact("battery_chemistry", "agm"), True, id="other-chemistry"),
        pytest.param({"controllers": ["stock"]}, fact("controller", "modified"), True, id="stock-not-modified"),
        pytest.param({"controllers": ["series"]}, fact("controller_type", "ac"), True, id="other-kind-of-controller"),
        pytest.param({"controllers": ["series"]}, fact("controller_type", "series"), False, id="kind-of-controller"),
        pytest.param({"controllers": ["series"]}, fact("controller", "stock"), False, id="kind-not-told"),
        pytest.param({}, fact("pack_voltage", 48), False, id="an-answer-for-all"),
    ],
)
def test_a_known_value_outside_the_range_excludes(scope, told, excluded):
    assert fitted(scope, told).excluded == excluded


@pytest.mark.parametrize(
    "scope",
    [
        {"powertrain": "electric"},
        {"makes": ["Tarvik"]},
        {"models": ["Lark"]},
        {"voltages": [48]},
        {"chemistries": ["agm"]},
        {"controllers": ["stock"]},
        {"year_from": 2008, "year_to": 2018},
    ],
    ids=str,
)
def test_unknown_is_not_a_mismatch(scope):
    found = fitted(scope)
    assert not found.excluded and len(found.unknown) == 1 and not found.agrees


@pytest.mark.parametrize(
    ("scope", "denied", "excluded"),
    [
        pytest.param({"powertrain": "petrol"}, [("powertrain", "petrol")], True, id="not-petrol"),
        pytest.param({"voltages": [36]}, [("pack_voltage", 36)], True, id="not-36"),
        pytest.param({"voltages": [36, 48]}, [("pack_voltage", 36)], False, id="one-of-two-denied"),
        pytest.param({"voltages": [36, 48]}, [("pack_voltage", 36), ("pack_voltage", 48)], True, id="both-denied"),
        pytest.param({"year_from": 2008}, [("year", 2008)], False, id="a-denied-year-leaves-others"),
        pytest.param({"powertrain": "electric"}, [("powertrain", "petrol")], False, id="another-value-denied"),
    ],
)
def test_a_denied_value_excludes_the_answers_for_it_alone(scope, denied, excluded):
    assert fitted(scope, *(fact(name, value, Standing.DENIED) for name, value in denied)).excluded == excluded


@pytest.mark.parametrize(
    ("first", "last", "told", "fits"),
    [
        (2008, 2018, 2008, True),
        (2008, 2018, 2018, True),
        (2008, 2018, 2007, False),
        (2008, 2018, "2005-2007", False),
        (2008, 2018, "2005-2009", True),
        (2008, None, 2026, True),
        (2008, None, 2007, False),
        (None, 2006, 1999, True),
        (None, 2006, "2006-2007", True),
        (None, 2006, 2007, False),
    ],
)
def test_years_fit_when_they_overlap(first, last, told, fits):
    assert fitted({"year_from": first, "year_to": last}, fact("year", told)).excluded != fits


@pytest.mark.parametrize("standing", [Standing.PLANNED, Standing.PAST, Standing.OTHER])
def test_a_plan_the_past_and_other_peoples_vehicles_do_not_exclude(standing):
    assert not fitted({"voltages": [36]}, fact("pack_voltage", 48, standing)).excluded


def test_the_second_vehicle_denies_nothing_of_the_first():
    assert denied_values((fact("pack_voltage", 36, Standing.DENIED, vehicle=2),)) == {}


def test_says_what_agrees_and_what_speaks_against_it():
    found = fitted(
        {"voltages": [36], "makes": ["Tarvik"], **ELECTRIC}, fact("make", "Tarvik"), fact("pack_voltage", 48)
    )
    assert (found.agrees, found.disagrees, found.unknown) == (("make",), ("pack_voltage",), ("powertrain",))
    assert found.why == ("make: Tarvik",) and found.against == ("for 36, not 48",)


@pytest.mark.parametrize(
    ("beside", "kind"),
    [
        pytest.param([], "disagrees", id="only-one-value"),
        pytest.param([fact("pack_voltage", 48, Standing.PLANNED)], "contested", id="planned"),
        pytest.param([fact("pack_voltage", 48, Standing.OTHER)], "disagrees", id="a-neighbours"),
        pytest.param([fact("pack_voltage", 48, vehicle=2)], "contested", id="of-a-second-vehicle"),
        pytest.param([fact("pack_voltage", 48, Standing.PAST)], "contested", id="past"),
        pytest.param([fact("pack_voltage", 48, Standing.DENIED)], "disagrees", id="denied"),
        pytest.param([fact("pack_voltage", 72, Standing.PLANNED)], "disagrees", id="a-third-value"),
        pytest.param([fact("pack_voltage", 36, Standing.HEDGED)], "contested", id="told-with-a-hedge"),
    ],
)
def test_another_value_beside_the_one_taken_makes_a_near_neighbour(beside, kind):
    """Who tells of two vehicles or of a change may have been misread: then the answer is offered, never sent."""
    facts = [*beside] if beside and beside[0].value == 36 else [fact("pack_voltage", 36), *beside]
    holds = [item for item in facts if item.standing.holds and item.vehicle == 1]
    found = fit(
        scope_values(answer("a", voltages=[48])), held(*holds), denied_values(facts), mentioned=mentioned_values(facts)
    )
    assert getattr(found, kind) and found.excluded == (kind == "disagrees") and found.near == (kind == "contested")


LISTED = Listed(frozenset({"tarvik"}), frozenset({"lark", "lark li", "wren"}))


@pytest.mark.parametrize(
    ("scope", "facts", "kind"),
    [
        pytest.param(
            {"voltages": [36]},
            [fact("model", "Lark"), fact("pack_voltage", 48, Standing.INFERRED)],
            "doubts",
            id="the-catalogue-on-a-name-with-several-models",
        ),
        pytest.param(
            {"voltages": [36]},
            [fact("model", "Wren"), fact("pack_voltage", 48, Standing.INFERRED)],
            "disagrees",
            id="the-catalogue-on-a-name-with-one-model",
        ),
        pytest.param(
            {"voltages": [36]}, [fact("model", "Lark"), fact("pack_voltage", 48)], "disagrees", id="told-by-the-asker"
        ),
        pytest.param({"makes": ["Tarvik"]}, [fact("make", "Lintock")], "foreign", id="a-make-not-listed"),
        pytest.param({"models": ["Lark"]}, [fact("model", "Vista")], "foreign", id="a-model-not-listed"),
        pytest.param({"models": ["Lark"]}, [fact("model", "Wren")], "disagrees", id="another-listed-model"),
    ],
)
def test_what_is_not_firm_does_not_exclude_and_an_unlisted_vehicle_is_no_near_neighbour(scope, facts, kind):
    found = fit(scope_values(answer("a", **scope)), held(*facts), {}, LISTED)
    assert getattr(found, kind) and found.excluded == (kind == "disagrees") and found.near == (kind == "doubts")
