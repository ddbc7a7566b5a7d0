"""What the survey states of an instrument by name: its uncertainty, the smallest step of its display."""

from garboard.notebook.body import Instrument
from garboard.notebook.fold import Survey


def uncertainty_of(survey: Survey, instrument: str, usual: float) -> float:
    """The standard uncertainty stated last for an instrument, in its unit; else the usual one."""
    stated = [
        each.uncertainty
        for each in survey.bodies(Instrument)
        if each.name == instrument and each.uncertainty is not None
    ]
    return stated[-1] if stated else usual


def step_of(survey: Survey, instrument: str, usual: float) -> float:
    """The smallest step stated last for an instrument, in its unit; else the usual one."""
    stated = [
        each.resolution
        for each in survey.bodies(Instrument)
        if each.name == instrument and each.resolution
    ]
    return stated[-1] if stated else usual
