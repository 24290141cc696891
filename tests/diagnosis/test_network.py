"""The network against a general library: the posterior of the fault by variable elimination, with pgmpy."""

from __future__ import annotations

import warnings
from itertools import pairwise
from typing import Any

import pytest

from triage.diagnosis import Evidence, beliefs
from triage.diagnosis.causes import OTHER_PRIOR, REPLACED
from triage.pack.schema import Cause, Symptom

SYMPTOMS = {
    id: Symptom(id=id, label=id, component="part", misbehaviour="fails", leak=leak)
    for id, leak in (("clicks", 0.02), ("slow", 0.05), ("smells", 0.01), ("beeps", 0.03))
}
CAUSES = (
    Cause(id="flat", label="flat", prior=0.3, symptoms={"slow": 0.8, "clicks": 0.1, "beeps": 0.2}),
    Cause(id="solenoid", label="solenoid", prior=0.1, symptoms={"clicks": 0.7}, parts=["solenoid"]),
    Cause(id="cable", label="cable", prior=0.2, symptoms={"clicks": 0.4, "smells": 0.3, "slow": 0.2}),
    Cause(id="switch", label="switch", prior=0.05, symptoms={"beeps": 0.6, "slow": 0.1}),
)
OTHER = "a fault not listed"


def network(ratios: dict[str, float]) -> Any:
    """One node for the fault with a state per cause, one for each symptom, one for what was found beside them."""
    factors = pytest.importorskip("pgmpy.factors.discrete")
    models = pytest.importorskip("pgmpy.models")
    states = [*(cause.id for cause in CAUSES), OTHER]
    priors = [*(cause.prior for cause in CAUSES), OTHER_PRIOR]
    model = models.DiscreteBayesianNetwork([("fault", name) for name in (*SYMPTOMS, "found")])
    model.add_cpds(
        factors.TabularCPD(
            "fault", len(states), [[p / sum(priors)] for p in priors], state_names={"fault": states}
        )
    )  # fmt: skip
    shares = {
        name: [1 - (1 - cause.symptoms.get(name, 0.0)) * (1 - SYMPTOMS[name].leak) for cause in CAUSES]
        + [SYMPTOMS[name].leak]
        for name in SYMPTOMS
    }
    shares["found"] = [0.05 * ratios.get(cause.id, 1.0) for cause in CAUSES] + [0.05]
    for name, row in shares.items():
        table = [[1 - p for p in row], row]
        known = {name: ["no", "yes"], "fault": states}
        model.add_cpds(factors.TabularCPD(name, 2, table, ["fault"], [len(states)], state_names=known))
    assert model.check_model()
    return model


def by_elimination(present: set[str], absent: set[str], ratios: dict[str, float]) -> dict[str, float]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the library's own
        inference = pytest.importorskip("pgmpy.inference")
        told = dict.fromkeys((*present, "found"), "yes") | dict.fromkeys(absent, "no")
        found = inference.VariableElimination(network(ratios)).query(["fault"], evidence=told, show_progress=False)
        return dict(zip(found.state_names["fault"], found.values, strict=True))


@pytest.mark.parametrize(
    ("present", "absent", "ratios"),
    [
        ({"clicks"}, set(), {}),
        ({"clicks", "slow"}, set(), {}),
        ({"slow", "beeps"}, {"clicks"}, {}),
        ({"clicks", "slow", "smells", "beeps"}, set(), {}),
        ({"clicks", "slow"}, {"smells"}, {"flat": 8.0, "solenoid": 0.3}),
        ({"beeps"}, {"slow"}, {"switch": 0.05}),
    ],
    ids=str,
)
def test_beliefs_are_those_of_a_general_library(present, absent, ratios):
    """A cause that explains nothing told is left out, so that the shares are those among the ones kept."""
    found = beliefs(CAUSES, SYMPTOMS, Evidence(frozenset(present), frozenset(absent), ratios=ratios), {}, least=0.0)
    expected = by_elimination(present, absent, ratios)
    assert {item.cause for item in found} == {cause.id for cause in CAUSES if cause.symptoms.keys() & present}
    total = sum(expected[item.cause] for item in found) + expected[OTHER]
    assert {i.cause: i.probability for i in found} == pytest.approx(
        {i.cause: expected[i.cause] / total for i in found}, abs=1e-4
    )
    assert all(expected[a.cause] >= expected[b.cause] - 1e-4 for a, b in pairwise(found))


def test_a_replaced_part_is_a_finding_with_a_ratio():
    replaced = Evidence(frozenset({"clicks"}), replaced=frozenset({"solenoid"}))
    found = {i.cause: i.probability for i in beliefs(CAUSES, SYMPTOMS, replaced, {}, least=0.0)}
    expected = by_elimination({"clicks"}, set(), {"solenoid": REPLACED})
    odds = expected["solenoid"] / expected["cable"]
    assert found["solenoid"] / found["cable"] == pytest.approx(odds, rel=0.01)
