import pytest

from gear.equipment.forms import GearModelForm, UnitForm
from gear.equipment.lists.columns import MODEL_COLUMNS, UNIT_COLUMNS
from gear.equipment.lists.models_list import plan_models
from gear.equipment.lists.units_list import plan_units
from gear.equipment.models import GearModel, Unit, UnitState
from gear.lists.actions import NotAsShown, import_list
from gear.lists.forms import LARGEST_FILE
from tests.factories import GearModelFactory, MicrophoneModelFactory, UnitFactory
from tests.watched import watched

pytestmark = pytest.mark.django_db


@pytest.fixture
def preamplifier():
    return GearModelFactory(maker="Hobweir", name="Wrackline 12")


@pytest.fixture
def supply():
    model = GearModelFactory(maker="Skerrow Acoustic", name="Skerry Supply", category="supply")
    return UnitFactory(model=model, asset_tag="S-01")


def test_list_has_a_column_for_every_fact_that_a_form_asks():
    assert {column.field.name for column in MODEL_COLUMNS} == set(GearModelForm.Meta.fields)
    assert {column.field.name for column in UNIT_COLUMNS} | {"model", "supply"} == set(
        UnitForm.Meta.fields
    )


def problems(plan):
    return [(each.line, each.column, each.typed) for each in plan.problems]


def test_every_problem_of_a_list_of_models_is_said_by_line_and_column():
    plan = plan_models(
        "maker,model,category,warm-up min,nominal level dBu,own supply\n"
        "Hobweir,Wrackline 12,preamplifier,0,4,no\n"
        'Hobweir,Wrackline 14,kettle,two,"4,5",perhaps\n'
        "Hobweir,Wrackline 12,Preamplifier,0,4,no\n"
        ",Nameless,Other,-1,4,no\n"
        "Hobweir,Wrackline 16,,99999,123456,no\n"
    )

    assert problems(plan) == [
        (3, "category", "kettle"),
        (3, "own supply", "perhaps"),
        (3, "warm-up min", "two"),
        (3, "nominal level dBu", "4,5"),
        (4, "model", "Wrackline 12"),
        (5, "warm-up min", "-1"),
        (5, "maker", ""),
        (6, "warm-up min", "99999"),
        (6, "category", ""),
        (6, "nominal level dBu", "123456"),
    ]
    assert "Preamplifier" in plan.problems[0].sentence
    assert "point, not a comma" in plan.problems[3].sentence
    assert "Line 2 has this model" in plan.problems[4].sentence


def test_every_problem_of_a_list_of_units_is_said_by_line_and_column(preamplifier):
    UnitFactory(asset_tag="QS-9")

    plan = plan_units(
        "tag,maker,model,state,supply,colour\n"
        "QS-1,Hobweir,Wrackline 12,in service,S-77,red\n"
        "QS-1,Hobweir,Wrackline 12,,,red\n"
        "QS-2,Hobweir,Wrakline 12,lent,,red\n"
        "QS-3,Hobweir,Wrackline 12,,QS-9,red\n"
        "QS-4,,,,QS-4,red\n"
        "QS-5,Hobweir\n"
    )

    assert problems(plan) == [
        (1, "colour", "colour"),
        (2, "supply", "S-77"),
        (3, "tag", "QS-1"),
        (4, "state", "lent"),
        (4, "model", "Hobweir Wrakline 12"),
        (5, "supply", "QS-9"),
        (6, "model", ""),
        (6, "supply", "QS-4"),
        (7, "", ""),
        (7, "model", "Hobweir"),
    ]
    assert "Is it Hobweir Wrackline 12?" in plan.problems[4].sentence


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "list is empty"),
        ("maker,model\nHobweir,Wrackline 12\n", "“tag” is missing"),
        ("tag,note,note\nQS-1,a,b\n", "there twice"),
        ('tag,note\nQS-1,"open\n', "quotation mark"),
        ("tag\n" + "".join(f"QS-{n}\n" for n in range(2001)), "at most 2000 lines"),
    ],
)
def test_list_that_cannot_be_read_is_refused_as_a_whole(text, said):
    assert said in " ".join(each.sentence for each in plan_units(text).problems)


def test_semicolons_are_read_and_said():
    plan = plan_models("maker;model;category\nHobweir;Wrackline 12;Preamplifier\n")

    assert (plan.problems, len(plan.to_make)) == ([], 1)
    assert "Read with semicolons" in plan.separator_notice


def test_list_is_brought_in_as_it_was_shown_with_its_history(engineer, preamplifier, supply):
    valve = MicrophoneModelFactory(
        maker="Skerrow Acoustic", name="Skerry", transducer="valve", own_supply=True
    )
    known = UnitFactory(model=preamplifier, asset_tag="QS-1", rack="Rack A", note="Kept")
    text = (
        "tag,maker,model,state,rack,supply\n"
        "QS-1,Hobweir,Wrackline 12,On the bench,,\n"
        "M-01,Skerrow Acoustic,Skerry,,,S-02\n"
        "S-02,Skerrow Acoustic,Skerry Supply,,Rack B,\n"
        "S-01,Skerrow Acoustic,Skerry Supply,,,\n"
    )
    plan = plan_units(text)

    assert plan.problems == []
    assert [(row.line, row.is_new, row.changes) for row in plan.rows] == [
        (2, False, ("state: In service → On the bench", "rack: Rack A → empty")),
        (3, True, ("tag M-01", "state In service", f"model {valve}", "supply S-02")),
        (4, True, ("tag S-02", "state In service", "rack Rack B", f"model {supply.model}")),
        (5, False, ()),
    ]
    assert Unit.objects.count() == 2

    import_list(plan_units, text, shown=plan.fingerprint(), by=engineer)

    known.refresh_from_db()
    assert (known.state, known.rack, known.note) == (UnitState.ON_THE_BENCH, "", "Kept")
    assert Unit.objects.get(asset_tag="M-01").supply.asset_tag == "S-02"
    entry = known.history.first()
    assert (entry.history_user, entry.history_change_reason) == (
        engineer,
        "Imported from a list, line 2",
    )
    assert supply.history.count() == 1  # it was on the list, and nothing changed


def test_nothing_is_brought_in_where_the_inventory_changed_after_it_was_shown(
    engineer, preamplifier
):
    unit = UnitFactory(model=preamplifier, asset_tag="QS-1", rack="Rack A")
    text = "tag,maker,model,rack\nQS-1,Hobweir,Wrackline 12,Rack B\nQS-2,Hobweir,Wrackline 12,\n"
    shown = plan_units(text).fingerprint()
    unit.rack = "Rack C"
    unit.save()

    with pytest.raises(NotAsShown):
        import_list(plan_units, text, shown=shown, by=engineer)

    assert list(Unit.objects.values_list("asset_tag", "rack")) == [("QS-1", "Rack C")]


def test_facts_of_a_model_are_held_against_each_other():
    plan = plan_models(
        "maker,model,category,transducer,nominal level dBu,maximum output dBu\n"
        "Hobweir,Wrackline 12,Preamplifier,Ribbon,4,-10\n"
    )

    assert problems(plan) == [(2, "transducer", "Ribbon"), (2, "maximum output dBu", "-10")]


def test_plans_take_the_same_queries_for_one_line_and_for_three(
    django_assert_num_queries, preamplifier
):
    line = "QS-{},Hobweir,Wrackline 12\n"
    for count in (1, 3):
        with django_assert_num_queries(2):
            plan_units("tag,maker,model\n" + "".join(line.format(n) for n in range(count)))
    with django_assert_num_queries(1):
        plan_models("maker,model,category\nHobweir,Wrackline 13,Other\n")
    assert GearModel.objects.count() == 1


FIGURES = [
    "1e30",
    "1e999999",
    "1e9999999",
    "-1e999999",
    "1e-999999",
    "9" * 100_000,
    "NaN",
    "1_0e9_9",
]


@pytest.mark.parametrize("column", ["warm-up min", "nominal level dBu"])
@pytest.mark.parametrize("figure", FIGURES, ids=lambda figure: figure[:10])
def test_short_figure_that_would_be_a_megabyte_written_out_is_refused(figure, column):
    """As it is written out before any rule is asked: decimal.Decimal, "1e999999" as "f"."""
    plan = plan_models(f"maker,model,category,{column}\nHobweir,Fathom,Preamplifier,{figure}\n")

    assert problems(plan) == [(2, column, figure)]
    assert "Write figures only" in plan.problems[0].sentence


LARGE = {
    "columns": "tag" + ",x" * 400_000,
    "lines": "tag\n" + "\n" * 900_000,
    "cells": "tag\n" + ("," * 490 + "\n") * 1900,
    "quotation marks": "tag\n" + '""' * 400_000,
    "an open quotation mark": 'tag\n"' + "x" * 900_000,
    "figures": "tag,cost of new\n" + "".join(f"U-{line},1e999999\n" for line in range(1900)),
    "models": "tag,maker,model\n"
    + "".join(f"U-{line},Hobweir,Wrakcline {line} chanel stirp\n" for line in range(1900)),
}


@pytest.mark.parametrize("of", LARGE)
def test_list_of_a_megabyte_that_means_harm_is_refused_within_bounds(of):
    text = LARGE[of]
    GearModel.objects.bulk_create(
        GearModel(maker="Hobweir", name=f"Wrackline {each} channel strip") for each in range(300)
    )
    assert len(text) <= LARGEST_FILE

    with watched() as taken:
        plan = plan_units(text)

    assert plan.problems or not plan.rows
    assert taken.grown < 60 << 20
    assert taken.seconds < 5
