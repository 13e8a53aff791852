"""``new``: a complete commented example that runs as it is, and names that no folder can have."""

import re
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.base.errors import InputError
from glidewright.base.fields import quantities
from glidewright.data import packaged
from glidewright.decisions.judgement import judge
from glidewright.decisions.new_model import DEMO, Request, legend, run
from glidewright.domain.airframe import Airframe
from glidewright.domain.bench import BenchReading
from glidewright.domain.control import Build, Control, Steering
from glidewright.domain.field import Field
from glidewright.domain.geometry import MANY_TABLES, ONE_TABLE
from glidewright.domain.launch_plan import LaunchPlan
from glidewright.domain.model import Fitted, Model
from glidewright.domain.parts import KINDS, Controller, Pack
from glidewright.domain.weighing import Weighing
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import prepare
from glidewright.rules.measures import MEASURE_UNITS
from glidewright.store.class_files import list_classes, read_class
from glidewright.store.new_folder import write_new_folder
from glidewright.store.reading import model_of_texts, read_model


@pytest.fixture(scope="module")
def texts() -> dict[str, str]:
    return run(Request(name="Lark")).texts


@pytest.fixture(scope="module")
def model(texts: dict[str, str]) -> Model:
    return model_of_texts(texts)


def test_it_can_be_written_and_read(tmp_path: Path) -> None:
    result = run(Request(name="  Lark 2 "))
    write_new_folder(tmp_path / result.folder, result.texts)
    assert result.folder == "Lark 2"
    assert read_model(tmp_path / "Lark 2").name == "Lark 2"


def test_it_has_the_files_of_the_demo_and_says_that_it_is_invented(
    texts: dict[str, str], model: Model
) -> None:
    demo = Path(str(packaged("demo", DEMO)))
    on_disk = {path.relative_to(demo).as_posix() for path in demo.rglob("*") if path.is_file()}
    assert set(texts) == on_disk - {"options.toml"}  # rule options are for a committee, not for a model
    assert model.invented
    assert all("INVENTED" in text for text in texts.values())
    assert not any(word in text for text in texts.values() for word in ("Hill Demo", "the demo's", "Flaw"))


def broken(model: Model) -> set[str]:
    """Names of the limits that are broken, over few draws."""
    rule = read_class(None, model.class_id, MEASURE_UNITS)
    findings = judge(forecast(prepare(model, rule, 512), with_trace=False))
    return {finding.name for finding in findings if finding.kept is False}


def test_it_breaks_no_limit_of_its_class_nor_of_its_parts(model: Model) -> None:
    assert broken(model) == set()


def test_the_demo_breaks_the_two_limits_that_its_flaws_are_about() -> None:
    assert broken(read_model(Path(str(packaged("demo", DEMO))))) == {"balance", "pack_current"}


def test_it_names_a_class_that_is_packaged(model: Model) -> None:
    assert model.class_id in list_classes(None)


def test_it_balances_inside_its_range(model: Model) -> None:
    masses = [item.part.mass_kg.value for item in model.items if item.part.mass_kg]
    places = [item.part.x_m.value for item in model.items if item.part.x_m]
    centre = sum(m * x for m, x in zip(masses, places, strict=True)) / sum(masses)
    front, rear = model.airframe.balance_front_x_m, model.airframe.balance_rear_x_m
    assert front is not None
    assert rear is not None
    assert front.value < centre < rear.value


def test_its_pack_promises_more_than_the_controller_carries_half_of(model: Model) -> None:
    pack, controller = model.first(Pack), model.first(Controller)
    assert pack is not None
    assert controller is not None
    assert pack.c_rating is not None
    assert controller.max_current_A is not None
    assert pack.c_rating.value * pack.capacity_As.value / 3600 > 0.5 * controller.max_current_A.value


def test_every_key_that_a_file_may_have_is_explained_with_its_unit(texts: dict[str, str]) -> None:
    tables = (Field, LaunchPlan, Steering, Build, Fitted, Control, Weighing, BenchReading)
    for noun in (Airframe, *ONE_TABLE, *MANY_TABLES, *tables):
        for meta in quantities(noun).values():
            assert re.search(rf"^#   {meta.key} +{re.escape(meta.shown.symbol)}", texts["model.toml"], re.M)
    drawer = texts["parts/power.toml"] + texts["parts/radio.toml"]
    for noun in KINDS.values():
        for name in noun.model_fields:
            meta = quantities(noun).get(name)
            key = meta.key if meta else name
            assert re.search(rf"^#   {key}\b", drawer + texts["model.toml"], re.M), key


def test_no_marker_of_the_demo_is_left(texts: dict[str, str]) -> None:
    assert not any("glidewright new writes" in text for text in texts.values())


def test_explanations_are_comments_only(texts: dict[str, str]) -> None:
    bare = run(Request(name="Lark")).texts
    without = {name: re.sub(r"^#.*\n", "", text, flags=re.M) for name, text in bare.items()}
    assert {name: tomllib.loads(text) for name, text in texts.items()} == {
        name: tomllib.loads(text) for name, text in without.items()
    }


def test_a_choice_lists_its_words_and_a_need_is_marked() -> None:
    assert (
        "#   servo_supply                text       Servo supply: regulator for receiver and servos: linear, "
        "switching or none (one of linear, switching, none)" in legend("[[controller]]").splitlines()
    )
    assert (
        "#   cells                       count      Cells in series: at least one [must be given]"
        in legend("[[pack]]").splitlines()
    )


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("", "must be the name of the new model; an empty one came; write glidewright new NAME"),
        ("   ", "must be the name of the new model; an empty one came; write glidewright new NAME"),
        (
            "models/lark",
            "must be a plain name without path separators and special signs; 'models/lark' came; "
            "go to the folder where the model shall lie and give the name alone",
        ),
        (
            "models\\lark",
            r"must be a plain name without path separators and special signs; 'models\\lark' came; "
            "go to the folder where the model shall lie and give the name alone",
        ),
        ("..", "must not start with a dot or a hyphen or end with a dot; '..' came; choose another name"),
        (
            ".lark",
            "must not start with a dot or a hyphen or end with a dot; '.lark' came; choose another name",
        ),
        ("x" * 101, "must be at most 100 signs long; 101 came; choose a shorter name"),
    ],
)
def test_a_name_that_no_folder_can_have_gets_one_sentence(name: str, sentence: str) -> None:
    with pytest.raises(InputError) as refused:
        run(Request(name=name))
    assert str(refused.value) == f"NAME: {sentence}"


@given(st.text(max_size=30))
def test_any_name_is_refused_in_a_sentence_or_comes_back_from_the_file(name: str) -> None:
    try:
        result = run(Request(name=name))
    except InputError:
        return
    assert tomllib.loads(result.texts["model.toml"])["name"] == name.strip() == result.folder
