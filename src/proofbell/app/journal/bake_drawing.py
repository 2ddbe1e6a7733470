"""A bake looked back on, drawn: the planned strip over the real one, and the readings over time."""

from __future__ import annotations

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.chart import HEAD, Band, Chart, Curve, Dot, draw_chart
from proofbell.app.drawing.strip_drawing import Block, StripRow, draw_axis, draw_strip
from proofbell.app.drawing.time_axis import SECOND, Axis, fitted_axis
from proofbell.journal.reviews.review import BakeReview, StageReview
from proofbell.units import used
from proofbell.words import in_degrees

STRIP_LINES = 3


def axis_of(review: BakeReview, width: int) -> Axis:
    """An axis that shows all that was planned and all that was."""
    starts = [*(s.planned_begin_s for s in review.stages), *(s.begun_s for s in review.stages if s.begun_s is not None)]
    last = review.stages[-1]
    begin_us = _us(review, min(starts))
    end_us = _us(review, max(last.planned_begin_s + last.planned_s, review.end_s, min(starts) + 60))
    return fitted_axis(begin_us, end_us, width - HEAD)


def _us(review: BakeReview, at_s: float) -> int:
    """By the bake's own time from its opening, so that a clock that was set bends no strip."""
    return review.state.opened.wall_us + round(at_s * SECOND)


def draw_strips(canvas: Canvas, review: BakeReview, axis: Axis) -> None:
    draw_axis(canvas, 0, HEAD, axis, review.state.opened)
    planned = tuple(
        _block(review, stage, stage.planned_begin_s, stage.planned_begin_s + stage.planned_s) for stage in review.stages
    )
    actual = tuple(
        _block(review, stage, stage.begun_s, review.end_s if stage.ended_s is None else stage.ended_s)
        for stage in review.stages
        if stage.begun_s is not None
    )
    draw_strip(canvas, 1, HEAD, StripRow("", "plan", planned), axis)
    draw_strip(canvas, 2, HEAD, StripRow("", "real", actual), axis)


def _block(review: BakeReview, stage: StageReview, begin_s: float, end_s: float) -> Block:
    return Block(stage.name, stage.kind, _us(review, begin_s), _us(review, end_s))


def chart_of(review: BakeReview) -> Chart:
    """Dough temperatures: read, modelled, and wanted."""
    read = [item for item in review.readings if item.reading.what == "dough temperature"]
    dots = tuple(
        Dot(_us(review, item.reading.at_s), in_degrees(item.reading.value), outside=item.inside is False)
        for item in read
        if item.reading.value is not None
    )
    curves = tuple(
        Curve(tuple((_us(review, at_s), in_degrees(value_c)) for at_s, value_c in curve.points), curve.guessed)
        for curve in review.curves
    )
    bands: list[Band] = []
    for item in read:
        stage = None if item.reading.stage is None else review.stages[item.reading.stage]
        if stage is not None and stage.begun_s is not None and item.expect is not None:
            end_s = review.end_s if stage.ended_s is None else stage.ended_s
            low, high = (in_degrees(value_c) for value_c in item.expect)
            bands.append(Band(_us(review, stage.begun_s), _us(review, end_s), low, high))
    return Chart(dots, curves if dots else tuple(c for c in curves if not c.guessed), tuple(bands), used().temperature)


def draw_readings(canvas: Canvas, review: BakeReview, axis: Axis) -> None:
    """The chart, or a word that nobody measured."""
    chart = chart_of(review)
    if chart.is_empty:
        canvas.put(HEAD, 0, "The dough's temperature was never read.", "$quiet")
        return
    draw_chart(canvas, chart, axis, review.state.opened)
