"""The scenario: what the grower writes, checked, with defaults, in SI."""

from greenhouse_sim.scenario.demo import demo_path
from greenhouse_sim.scenario.explain import ExplainRow, explain
from greenhouse_sim.scenario.model import Scenario
from greenhouse_sim.scenario.new import Question, new_scenario_text, questions, write_new
from greenhouse_sim.scenario.read import read_scenario, scenario_from_dict

__all__ = [
    "ExplainRow",
    "Question",
    "Scenario",
    "demo_path",
    "explain",
    "new_scenario_text",
    "questions",
    "read_scenario",
    "scenario_from_dict",
    "write_new",
]
