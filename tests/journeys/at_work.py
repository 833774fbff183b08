"""A shop at work on the command line: prototypes ordered, made, proved and shipped, and a repeat order for 200."""

from pathlib import Path

from tests.cli.shop import DUE, Ran, Shop, with_cards, with_revisions, with_settings


def at_work(folder: Path) -> Shop:
    """Return a shop that made and proved six prototypes of a bracket, shipped five, and got a repeat order for 200."""
    shop = with_settings(with_revisions(with_cards(Shop(folder).start())))
    order(shop, 5, "4711")
    print_and_sinter(shop, "R-26A0001")
    measure_and_prove(shop)
    shop.done("ship", "O-26A0001", "--lot", "L-26A0001", "--qty", "5")
    shop.done("stage", "BRK-204", "ramp", "--because", "first article complete")
    order(shop, 200, "4733")
    return shop


def print_and_sinter(shop: Shop, package: str) -> None:
    """Make the pieces of a package on the floor: powder, box, furnace."""
    shop.done("blend", "add", "17-4PH", "--made-kg", "20", "--powder", "HL-0817=20",
              "--test", f"tested_on={shop.day(0)}", "--test", "oxygen_ppm=300")  # fmt: skip
    shop.done("box-run", "start", "PRN-1", "--box", "BX-1", "--blend", "M-26A0001", "--binder-lot", "BD-77",
              "--binder-expires", shop.day(90), "--package", package)  # fmt: skip
    shop.done("box-run", "finish", "K-26A0001")
    shop.done("lot", "start", package, "--count", "6", "--blend", "M-26A0001", "--box-run", "K-26A0001")
    shop.done("load", "start", "FUR-1", "--heat", "debind and sinter", "--cycle", "SN 1", "--lot", "L-26A0001:6:T1",
              "--metal-kg", "1", "--binder-kg", "0.05")  # fmt: skip
    shop.done("load", "finish", "F-26A0001", "--witness", "W1 density_g_cm3=7.61")
    shop.done("lot", "operation", "L-26A0001", "sinter", "--in", "6", "--on", "6", "--load", "F-26A0001")


def measure_and_prove(shop: Shop) -> None:
    """Measure the lot by the table that the program printed, and prove the settings on it."""
    template = shop.done("measure", "L-26A0001", "--template").out.splitlines()
    filled = [f"{line.split(',')[0]},30.01,accept" if line[:1].isdigit() else line for line in template]
    table = shop.file("inspection.csv", "\n".join(filled) + "\n")
    shop.done("measure", "L-26A0001", table, "--gauge", "CAL-3", "--weighed", "1:45.913:39.900", "--water-c", "21.5")
    shop.done("prove", "BRK-204@C", "--settings", "S1", "--lot", "L-26A0001")
    shop.done("lot", "finish", "L-26A0001", "--good", "6")


def order(shop: Shop, quantity: int, po: str) -> Ran:
    return shop.done("reorder", "BRK-204@C", "--qty", str(quantity), "--po", po, "--po-line", "1", "--po-rev", "C",
                     "--due", DUE, "--yes")  # fmt: skip
