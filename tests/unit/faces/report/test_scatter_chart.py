from glidewright.base.figure import Figure
from glidewright.faces.report.charts import chart_svg, specification
from glidewright.faces.report.document import Axis, Dot, ScatterChart


def figure(value: float, half: float = 0.0) -> Figure:
    return Figure(
        value=value, low=value - half, high=value + half, unit="1", shown="", grade="typical", because="drawn"
    )


def chart(*places: tuple[float, float]) -> ScatterChart:
    dots = tuple(Dot(str(number), figure(x, 40.0), figure(y)) for number, (x, y) in enumerate(places, 1))
    return ScatterChart("choices", "Title", "Sentence.", Axis("Across", ""), Axis("Up", ""), dots, None)


def sides(drawn: ScatterChart) -> dict[str, str]:
    return {row["label"]: row["side"] for row in specification(drawn)["data"]["values"]}


def test_a_label_stands_to_the_right_where_nothing_is() -> None:
    assert sides(chart((0.0, 0.0), (50.0, 100.0))) == {"1": "right", "2": "right"}


def test_a_label_gives_way_to_a_dot_at_its_place() -> None:
    # 100 across are 330 units of the picture: 2 are 6.6, well within the width of a label
    assert sides(chart((0.0, 0.0), (2.0, 1.0), (50.0, 100.0))) == {"1": "left", "2": "right", "3": "right"}


def test_all_labels_are_drawn_and_counts_step_by_whole_numbers() -> None:
    drawn = chart((0.0, 3.0), (2.0, 4.0), (50.0, 6.0))
    svg = chart_svg(drawn)
    assert all(f">{number}</text>" in svg for number in (1, 2, 3))
    assert ">3.5</text>" not in svg


def test_one_dot_alone_is_drawn() -> None:
    assert sides(chart((5.0, 5.0))) == {"1": "right"}
