"""Jobs of an invented shop, as travelers: an everyday one, and one that fills every table to the brim."""

import io
from datetime import UTC, date, datetime

from PIL import Image, ImageDraw

from vault.documents.cautions import gas_cautions, safety_cautions
from vault.documents.traveler import (
    CycleLine,
    CycleTable,
    Fact,
    FactGroup,
    JobBox,
    MeasureLine,
    Mind,
    OperationLine,
    Traveler,
)
from vault.model.words import Answer, Atmosphere, Severity

AT = datetime(2026, 3, 9, 14, 2, tzinfo=UTC)


def a_picture() -> bytes:
    """Return a small grey picture of something with edges."""
    picture = Image.new("L", (480, 360), 255)
    draw = ImageDraw.Draw(picture)
    draw.polygon([(60, 260), (60, 140), (240, 60), (420, 140), (420, 260), (240, 330)], fill=214, outline=0)
    draw.line([(60, 140), (240, 215), (420, 140)], fill=0, width=2)
    draw.line([(240, 215), (240, 330)], fill=0, width=2)
    out = io.BytesIO()
    picture.save(out, "png")
    return out.getvalue()


def _settings() -> tuple[FactGroup, ...]:
    printer = {
        "Layer": "50 um",
        "Binder fraction of pore volume": "65 %",
        "Wait after jetting": "1.5 s",
        "Drying per layer": "8 s at 45 C",
        "Spreader": "12 mm/s",
        "Roller": "300 1/min",
    }
    scale = {"Box x": "1.18750", "Box y": "1.18420", "Box z": "1.19610"}
    cure = {"Cure": "190 C, 6 h, nitrogen", "Setter": "alumina plate, 12 pieces"}
    groups = {"Printer PRN-1": printer, "Scale, after turning": scale, "Cure and setting": cure}
    return tuple(
        FactGroup(title=title, facts=tuple(Fact(name=name, value=value) for name, value in facts.items()))
        for title, facts in groups.items()
    )


def _cycle(title: str, segments: int) -> CycleTable:
    line = CycleLine(ramp="120 C/h", target="600 C", hold="2 h 0 min", atmosphere="hydrogen", flow="15 l/min")
    return CycleTable(
        title=title,
        furnace="FUR-2",
        total="31 h 40 min",
        segments=(line,) * segments,
        gas_cautions=gas_cautions([Atmosphere.HYDROGEN]),
    )


def _operations(count: int) -> tuple[OperationLine, ...]:
    names = ("Print", "Cure", "Depowder", "Debind", "Sinter", "Machine bore", "Deburr", "Inspect", "Clean", "Pack")
    return tuple(
        OperationLine(
            number=str(10 * (index + 1)),
            name=names[index % len(names)],
            where="Cell 2" if index != 5 else "outside, Tarn Works",
            instruction="Brush first, then air at 2 bar. Thin arms face up." if index % 2 else "",
        )
        for index in range(count)
    )


def _characteristics(count: int) -> tuple[MeasureLine, ...]:
    return tuple(
        MeasureLine(
            number=str(index + 1),
            name="Bore diameter" if index % 2 else "Distance between bores",
            requirement="10.00 to 10.05 mm" if index % 3 else "M6 thread: go enters, no-go does not",
            state="finished" if index % 2 else "as-sintered",
            how_many="5 of the lot" if index % 4 else "every piece",
            gauge="GAU-07 plug gauge",
            key=index % 5 == 0,
        )
        for index in range(count)
    )


def _box() -> JobBox:
    return JobBox(
        name="BOX-A",
        layout="B-26A0019",
        file="builds/build-1-of-3.3mf",
        boxes=3,
        parts_per_box=70,
        time_per_box="9 h 20 min",
    )


def _dimensions() -> tuple[Fact, ...]:
    return (
        Fact(name="Finished size", value="62.000 x 40.000 x 18.500 mm"),
        Fact(name="Green size in the box", value="73.625 x 47.368 x 22.128 mm"),
        Fact(name="Finished mass", value="86.4 g"),
    )


def an_everyday_job() -> Traveler:
    """Return the traveler of a repeat order."""
    return Traveler(
        shop="Harrow Lane Sintering",
        package_id="R-26A0007",
        qr_text="partstead:R-26A0007",
        part_number="BRK-204",
        revision="C",
        description="Bracket, pump mount",
        customer="Northfell Pumps",
        customer_number="NF-88-1204",
        drawing="88-1204 rev C",
        order="O-26A0042",
        po="4500-7781",
        po_line="10",
        po_amendment="",
        to_start=210,
        to_deliver=200,
        over_under="+0 / -0",
        due=date(2026, 4, 3),
        material="17-4 PH stainless",
        powder="PS-017 issue 4, under 22 um",
        settings_number="S2",
        criticality="ordinary",
        picture_words="Print with the flat face down in the box; sinter on the same face.",
        dimensions=_dimensions(),
        boxes=(_box(),),
        settings=_settings(),
        cycles=(_cycle("Debind and sinter", 5),),
        operations=_operations(9),
        characteristics=_characteristics(8),
        minds=(Mind(severity=Severity.CAUTION, words="Revision D was recorded on 2026-03-02 and is not released."),),
        clauses=("Certificate with every delivery.",),
        safety=safety_cautions(Answer.YES, Answer.NO),
        basis="ready by the records of 2026-03-09, 1f0c1f0c1f0c; not a release of parts",
        void_after=date(2026, 4, 8),
    )


def _minds(subject: str) -> tuple[Mind, ...]:
    words = "0.18 mm at the bore, see entry"
    return tuple(Mind(severity=severity, words=f"{subject}: {words} {severity}.") for severity in Severity)


def a_brimful_job() -> Traveler:
    """Return a traveler with names, tables and findings as long as they get."""
    long = "A housing for the intermediate stage of a positive-displacement dosing pump, left hand, flange and two ribs"
    everyday = an_everyday_job()
    return everyday.model_copy(
        update={
            "part_number": "HOUSING-INTERMEDIATE-STAGE-LH-0000104711",
            "revision": "C/2 prelim. 14",
            "description": long,
            "customer": "Vereinigte Pumpen- und Armaturenwerke Obertal Gesellschaft",
            "customer_number": "VPAO.1234567890.ABCDEFGHIJKLMN.000001",
            "po": "PO-2026-000000123456789-REV",
            "po_amendment": "Amendment 3 of 2026-02-27",
            "criticality": "otherwise safety-critical",
            "material": "316L stainless, low carbon, nitrogen limited",
            "minds": _minds(long) * 3,
            "holds": ("Lot L-26A0009: bores under size; engineer to decide.",),
            "concessions": ("Customer's reference NCR-1188: 40 pieces of lot L-26A0009, flatness to 0.15 mm.",),
            "boxes": tuple(everyday.boxes) * 4,
            "settings": (*_settings(), *_settings()),
            "cycles": (_cycle("Debind", 12), _cycle("Sinter", 12)),
            "operations": _operations(15),
            "characteristics": _characteristics(30),
            "watermark": "DEMO: invented settings, do not sinter",
            "shop_internal": True,
        }
    )
