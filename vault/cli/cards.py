"""Cards: one factory makes add, edit, list and show for every kind."""

import inspect
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import typer

from vault.cli.options import AsJson, argument, file, read_by, words
from vault.cli.recorded import tell_recorded
from vault.cli.session import reading, writing
from vault.cli.show import put
from vault.cli.values import Pair, a_pair

commands = typer.Typer()

Sets = Annotated[
    list[Pair] | None,
    read_by(a_pair, "--set", "FIELD=VALUE", "Set a field; a dot reaches inside (control.status=...). Repeatable."),
]
FromFile = Annotated[Path | None, file("--from", "Take fields from a JSON file.")]


@dataclass(frozen=True)
class CardWords:
    """What the commands of one kind of card are called, and the fields that have an option of their own."""

    word: str
    help: str
    handy: tuple[str, ...]
    example: str
    metavar: str | None = "ID"  # None: the shop has one such card, without a name
    verbs: tuple[str, ...] = ("add", "edit", "show", "list")


KINDS = (
    CardWords(
        "customer",
        "Customers: the design authority of most parts.",
        ("name", "address", "quality_clauses", "first_article_approval", "note"),
        'NORTHFELL --name "Northfell Pumps"',
        "CODE",
    ),
    CardWords(
        "part",
        "Parts: their numbers, and whose design each is.",
        (
            "customer",
            "customer_number",
            "description",
            "design_authority",
            "label_scheme",
            "criticality",
            "material",
            "other_numbers",
            "note",
        ),
        "BRK-204 --customer NORTHFELL --customer-number 4471-B --description 'pump bracket' "
        "--design-authority customer --material 17-4PH --criticality ordinary",
        "PART",
    ),
    CardWords(
        "person",
        "People who write here, by handle, with their roles.",
        ("name", "roles", "left_on"),
        'edda --name "Edda Berg" --roles engineer',
        "HANDLE",
    ),
    CardWords(
        "machine",
        "Printers.",
        ("name", "site", "make_and_serial", "materials", "boxes", "firmware", "print_preparation"),
        'PRN-1 --name "printer one" --site hall --materials 17-4PH --boxes BX-1',
    ),
    CardWords(
        "material",
        "Metals as the shop sinters them.",
        (
            "name",
            "alloy_family",
            "reference_density_g_cm3",
            "reference_density_source",
            "sintered_density_g_cm3",
            "reactive",
            "contains_nickel",
            "setter_materials",
            "note",
        ),
        "17-4PH --name '17-4PH' --alloy-family 'precipitation-hardening steel' --reference-density-g-cm3 7.8 "
        "--reference-density-source 'supplier data sheet' --sintered-density-g-cm3 7.6",
    ),
    CardWords(
        "box",
        "Boxes: a printer's build volume at one height.",
        ("name", "size_mm", "wall_margin_mm", "fixed_min", "layer_s"),
        "BX-1 --name 'large box' --size-mm 400,250,200 --layer-s 12",
    ),
    CardWords(
        "furnace",
        "Furnaces: what each can hold and reach.",
        (
            "name",
            "site",
            "make_and_serial",
            "max_c",
            "hot_zone_mm",
            "trays",
            "metal_limit_kg",
            "binder_limit_kg",
            "responsible",
        ),
        "FUR-1 --name 'furnace one' --site hall --max-c 1400 --hot-zone-mm 400,300,300 --trays 6 "
        "--metal-limit-kg 40 --binder-limit-kg 1",
    ),
    CardWords(
        "gauge",
        "Gauges, and until when each may be believed.",
        ("name", "resolution_mm", "uncertainty_mm", "calibrated_on", "calibration_due", "certificate"),
        "CAL-3 --name 'caliper 150' --resolution-mm 0.01 --calibrated-on 2026-01-10 --calibration-due 2027-01-10",
    ),
    CardWords(
        "rates",
        "What an hour and a kilogram cost here.",
        (
            "currency",
            "printer_hour_cents",
            "furnace_load_cents",
            "labour_hour_cents",
            "powder_kg_cents",
            "binder_litre_cents",
        ),
        "--currency EUR --printer-hour-cents 4000 --furnace-load-cents 30000 --labour-hour-cents 6000 "
        "--powder-kg-cents 4500 --binder-litre-cents 9000",
        None,
        ("add", "edit", "show"),
    ),
    CardWords(
        "policy",
        "The shop's own rules; the defaults are common practice.",
        ("proof_lapses_after_days", "capability_minimum", "package_valid_days", "start_extra_fraction", "note"),
        "--package-valid-days 14",
        None,
        ("edit", "show"),  # a register is started with its policy
    ),
)


def _group(kind: CardWords) -> typer.Typer:
    """Return the commands of one kind of card."""
    group = typer.Typer(no_args_is_help=True, help=kind.help)
    named = f" {_first(kind)}" if kind.metavar else ""
    commands_of = {
        "add": (_adding(kind), "Add a card.", f" {kind.example}"),
        "edit": (_editing(kind), "Change fields of a card; all others stay as they are.", f"{named} --set FIELD=VALUE"),
        "show": (_showing(kind), "Show a card, field by field.", named),
        "list": (_listing(kind), "List the cards.", ""),
    }
    for verb in kind.verbs:
        command, about, tail = commands_of[verb]
        group.command(verb, help=f"{about}\n\nExample:  partstead {kind.word} {verb}{tail}")(command)
    return group


def _first(kind: CardWords) -> str:
    return kind.example.partition(" ")[0]


def _adding(kind: CardWords) -> Callable[..., None]:
    def add(
        ctx: typer.Context, which: str | None = None, sets: Sets = None, fields: FromFile = None, **handy: str | None
    ) -> None:
        from vault.actions.cards import add_card
        from vault.cli.card_access import kind_of, new_fields, typed_fields
        from vault.cli.fields import read_fields

        vault = writing(ctx)
        flat = typed_fields(kind.word, sets or [], handy)
        form = new_fields(kind.word, which, read_fields(fields) if fields else {}, flat)
        tell_recorded(vault, add_card(vault, kind_of(kind.word), form))

    return _signed(add, kind)


def _editing(kind: CardWords) -> Callable[..., None]:
    def edit(
        ctx: typer.Context, which: str | None = None, sets: Sets = None, fields: FromFile = None, **handy: str | None
    ) -> None:
        from vault.actions.cards import edit_card
        from vault.cli.card_access import edits_of, kind_of, place_of, typed_fields
        from vault.cli.fields import read_fields

        vault = writing(ctx)
        flat = (read_fields(fields) if fields else {}) | typed_fields(kind.word, sets or [], handy)
        place = place_of(vault, kind.word, which)
        tell_recorded(vault, edit_card(vault, kind_of(kind.word), place, edits_of(flat)))

    return _signed(edit, kind)


def _showing(kind: CardWords) -> Callable[..., None]:
    def show(ctx: typer.Context, which: str | None = None, as_json: AsJson = False) -> None:
        from vault.cli.card_access import card_at
        from vault.cli.views.records import record_shown

        put(record_shown(card_at(reading(ctx), kind.word, which)), as_json)

    return _signed(show, kind)


def _listing(kind: CardWords) -> Callable[..., None]:
    def listing(ctx: typer.Context, as_json: AsJson = False) -> None:
        from vault.cli.card_access import all_cards
        from vault.cli.views.records import cards_shown

        put(cards_shown(all_cards(reading(ctx), kind.word)), as_json)

    return listing


def _signed(command: Callable[..., None], kind: CardWords) -> Callable[..., None]:
    """Give a command the signature that Typer reads: its name where it has one, and an option for each handy field."""
    given = dict(inspect.signature(command).parameters)
    takes_fields = given.pop("handy", None) is not None
    name: Any = Annotated[str, argument(kind.metavar or "", f"The {kind.word}, such as {_first(kind)}.")]
    given["which"] = given["which"].replace(annotation=name, default=inspect.Parameter.empty)
    if kind.metavar is None:
        del given["which"]
    for field in kind.handy if takes_fields else ():
        option: Any = Annotated[str | None, words(f"--{field.replace('_', '-')}", f"The field {field}.", "VALUE")]
        given[field] = inspect.Parameter(field, inspect.Parameter.KEYWORD_ONLY, default=None, annotation=option)
    ordered = sorted(given.values(), key=lambda parameter: parameter.default is not inspect.Parameter.empty)
    command.__signature__ = inspect.Signature(ordered)  # type: ignore[attr-defined]
    command.__annotations__ = {parameter.name: parameter.annotation for parameter in ordered}
    return command


for _kind in KINDS:
    commands.add_typer(_group(_kind), name=_kind.word)
