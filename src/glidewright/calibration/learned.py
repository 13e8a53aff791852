"""From what flights taught to the correction that predictions take, and to what the folder keeps of it."""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from glidewright.calibration.bench import learn_from_bench
from glidewright.domain.correction import Correction
from glidewright.domain.learned import Learned, LearnedInput
from glidewright.domain.logbook import Flight
from glidewright.domain.model import Model
from glidewright.forecast.setup import prepare
from glidewright.forecast.spread import Input

from .posterior import Posterior
from .scores import PART_OF_SCORE, Score, part_kind, shares

Array = NDArray[np.float64]

WORTH_KEEPING = 0.03
"""A score whose mean moved less and whose spread and ties changed less says nothing."""
_SAME = 1e-6
_MOST_NAMED = 4
FIRST, AGAIN = "run glidewright calibrate", "run glidewright calibrate again"


def correction_of(model: Model) -> Correction:
    """What the bench and the flights of a model taught; decisions take it into every prediction.

    Flights teach through ``corrections.toml``, which ``calibrate`` wrote: an input whose prior or part has
    changed since then is left to its new prior, and ``remarks`` say so. Raises InputError for a bench reading
    that cannot be used, OutsideModelError when no model covers a part.
    """
    learned = model.learned
    if learned is None or not learned.inputs:
        found = learn_from_bench(model)
        if learned is not None and learned.newer:
            return replace(found, remarks=(_newer_words(learned.newer, FIRST),))
        return found
    inputs = prepare(model, None, 1).inputs
    ids = part_ids(model)
    kept, changed = [], []
    for place, entry in enumerate(learned.inputs):
        own = inputs.get(entry.name)
        if own is None or entry.of != _own_part(entry.name, ids):
            continue  # of another part, or of a shape that is worked out in another way
        if _is_same_prior(entry, own):
            kept.append(place)
        else:
            changed.append(entry.title or entry.name)
    factor = factor_of(learned)[kept]
    remarks = []
    if changed:
        words = ", ".join(changed[:_MOST_NAMED])
        more = f" and {len(changed) - _MOST_NAMED} more" if len(changed) > _MOST_NAMED else ""
        remarks.append(f"corrections.toml rests on other values of {words}{more}: {AGAIN}")
    if learned.bench_sha256 != bench_sha256(model):
        remarks.append(f"the bench readings have changed since flights taught: {AGAIN}")
    if learned.newer:
        remarks.append(_newer_words(learned.newer, AGAIN))
    return Correction(
        tuple(learned.inputs[place].name for place in kept),
        np.array([learned.inputs[place].mean for place in kept]),
        factor @ factor.T,
        learned.evidence,
        tuple(remarks),
    )


def _newer_words(names: Sequence[str], todo: str) -> str:
    what = f"{len(names)} logs in flights/ have" if len(names) > 1 else f"the log {names[0]} in flights/ has"
    return f"{what} not taught yet: {todo}"


def part_ids(model: Model) -> dict[str, str]:
    """Ids of the fitted drive parts by kind."""
    return {kind: part.id for kind, noun in PART_OF_SCORE.items() if (part := model.first(noun)) is not None}


def _own_part(name: str, ids: Mapping[str, str]) -> str:
    kind = part_kind(name)
    return ids.get(kind.kind, "") if kind is not None else ""


def _is_same_prior(entry: LearnedInput, own: Input) -> bool:
    width = max(abs(own.high - own.low), abs(own.value), 1e-12)
    pairs = ((entry.value, own.value), (entry.low, own.low), (entry.high, own.high))
    return entry.kind == own.kind and all(abs(old - new) <= _SAME * width for old, new in pairs)


def factor_of(learned: Learned) -> Array:
    """Factor of the covariance of the learned scores, lower triangular."""
    size = len(learned.inputs)
    factor = np.zeros((size, size))
    for place, entry in enumerate(learned.inputs):
        factor[place, : len(entry.row)] = entry.row
    return factor


def bench_sha256(model: Model) -> str:
    """Hash of all bench readings; empty without one."""
    if not model.bench:
        return ""
    text = json.dumps([reading.model_dump() for reading in model.bench], sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def as_correction(
    posterior: Posterior, model: Model, evidence: Sequence[str] = (), day: str | None = None
) -> Correction:
    """The correction of the model's own inputs for its next flight.

    day: the day of that flight, whose own scores then count too; without it only what lasts. What is new in
    every launch keeps its spread.
    """
    inputs = prepare(model, None, 1).inputs
    ids = part_ids(model)
    names = [name for name, entry in inputs.items() if not entry.is_exact]
    parts = {name: _parts(name, _own_part(name, ids), day) for name in names}
    names = [name for name in names if any(score in posterior.scores for score, _ in parts[name])]
    scores = tuple(dict.fromkeys(score for name in names for score, _ in parts[name]))
    mean, covariance = posterior.over(scores)
    weights = np.zeros((len(names), len(scores)))
    for row, name in enumerate(names):
        for score, weight in parts[name]:
            weights[row, scores.index(score)] = weight
    own = weights @ covariance @ weights.T + np.diag(1.0 - np.sum(weights**2, axis=1))
    kept = _worth_keeping(weights @ mean, own)
    return Correction(
        tuple(names[place] for place in kept),
        (weights @ mean)[kept],
        own[np.ix_(kept, kept)],
        tuple(evidence),
    )


def _parts(name: str, part: str, day: str | None) -> list[tuple[Score, float]]:
    lasting, daily, _ = shares(name)
    found = [(Score(name, part), lasting**0.5)] if lasting > 0.0 else []
    if day is not None and daily > 0.0:
        found.append((Score(name, part, day), daily**0.5))
    return found


def _worth_keeping(mean: Array, covariance: Array) -> list[int]:
    """Places whose score moved, narrowed, or is tied to another."""
    apart = np.abs(covariance - np.eye(mean.size)).max(axis=1, initial=0.0)
    return [place for place in range(mean.size) if max(abs(mean[place]), apart[place]) > WORTH_KEEPING]


def as_learned(correction: Correction, model: Model, flights: Sequence[Flight], made: str) -> Learned:
    """What the folder keeps of a correction of the fitted parts.

    Parts that flew and are not fitted now are not in it: they teach again from the logbook when they are
    fitted and ``calibrate`` runs.
    """
    inputs = prepare(model, None, 1).inputs
    ids = part_ids(model)
    factor = np.linalg.cholesky(correction.covariance) if correction.names else np.zeros((0, 0))
    entries = []
    for place, name in enumerate(correction.names):
        own = inputs[name]
        entries.append(
            LearnedInput(
                name=name,
                of=_own_part(name, ids),
                title=own.title,
                kind=own.kind,
                value=own.value,
                low=own.low,
                high=own.high,
                mean=float(correction.mean[place]),
                row=tuple(float(number) for number in factor[place, : place + 1]),
            )
        )
    return Learned(
        made=made,
        flights=len(flights),
        launches=sum(len(flight.launches) for flight in flights),
        bench_sha256=bench_sha256(model),
        logs=tuple(sorted({flight.source_name for flight in flights})),
        evidence=correction.evidence,
        inputs=tuple(entries),
    )
