"""What a schema cannot see in a maker's package: keys, lists, sizes without holes, figures that must rise, limits that must hold."""

import math
from collections.abc import Callable, Iterator, Mapping
from itertools import pairwise

from softseat import tables
from softseat.maker.faults import Fault, Filed, Row
from softseat.maker.valves import BODY_STYLES
from softseat.tables import number
from softseat.units import from_si, to_si

Package = Mapping[str, Filed]
_Found = Iterator[Fault]
_BAR, _MPA = float(to_si(1.0, "bar")), float(to_si(1.0, "MPa"))
_ROUNDING = 1 + 1e-9  # a figure at its limit stays there when it is converted


def _column(table: str, name: str) -> frozenset[str]:
    return frozenset(row[name] for row in tables.read(table))


def _known_keys() -> dict[tuple[str, str], frozenset[str]]:
    metals = _column("body_class", "key")
    return {
        ("liners", "liner_grade"): _column("elastomers", "code"),
        ("discs", "disc"): metals,
        ("bodies", "body"): metals,
        ("shafts", "shaft"): _column("shaft_materials", "number"),
        ("bushes", "bush"): _column("bushes", "key"),
    }


def _keys(package: Package) -> _Found:
    """Materials must be those of the published tables: limits and resistance are looked up by them."""
    for (table, column), allowed in _known_keys().items():
        for row in package[table].rows:
            if row[column] not in allowed:
                yield package[table].fault(row, column, ", ".join(sorted(allowed)))


def _words(package: Package) -> _Found:
    """A word of the maker must lead to a key that he offers."""
    homes = {"liner_grade": "liners", "disc": "discs", "body": "bodies", "shaft": "shafts", "bush": "bushes", "coating": "coats"}
    for row in package["words"].rows:
        home = package.get(homes.get(row["field"], ""))
        if home is not None and row["key"] not in {r[row["field"]] for r in home.rows}:
            yield package["words"].fault(row, "key", ", ".join(r[row["field"]] for r in home.rows))


def _lists(package: Package) -> _Found:
    """Members of a list in one cell."""
    for table in ("bodies", "drillings"):
        for row in package[table].rows:
            if not row.words("body_styles") or set(row.words("body_styles")) - set(BODY_STYLES):
                yield package[table].fault(row, "body_styles", "; ".join(BODY_STYLES))


def _yields(package: Package) -> _Found:
    """The proof stress of a shaft is not above what its steel warrants in that condition."""
    known = {(r["number"], r["condition"]): r["Rp02_min_MPa"] for r in tables.read("shaft_materials")}
    for row in package["shafts"].rows:
        conditions = [c for n, c in known if n == row["shaft"]]
        if row["condition"] not in conditions:
            if conditions:
                yield package["shafts"].fault(row, "condition", ", ".join(conditions))
        elif row.amount("yield") > float(known[row["shaft"], row["condition"]]) * _MPA:
            most = f"at most {known[row['shaft'], row['condition']]} MPa in condition {row['condition']}"
            yield package["shafts"].fault(row, "yield", most)


def _lengths(package: Package) -> _Found:
    """The face-to-face is that of the series it names."""
    known = {
        (r["series"].split()[-1], float(r["DN"])): (number(r["L_mm"], "mm"), number(r["tol_mm"], "mm")) for r in tables.read("face_to_face")
    }
    for row in package["valves"].rows:
        length, tolerance = known.get((row["face_to_face_series"], row.amount("dn")), (math.nan, 0.0))
        if abs(row.amount("face_to_face") - length) > tolerance * _ROUNDING:
            allowed = f"{from_si(length, 'mm'):g} +-{from_si(tolerance, 'mm'):g} mm (EN 558 series {row['face_to_face_series']})"
            yield package["valves"].fault(row, "face_to_face", allowed)


def _sizes(package: Package) -> _Found:
    """No hole in the sizes of a body style and rating; DN750 stands outside the PN ladder and may be left out."""
    ladder = sorted({float(r["DN"]) for r in tables.read("flange_drilling_en1092_pn")})
    valves = package["valves"]
    for rows in valves.groups("body_style", "rating"):
        have = {row.amount("dn") for row in rows}
        missing = [d for d in ladder if min(have) < d < max(have) and d not in have]
        for dn in missing:
            after = max((r for r in rows if r.amount("dn") < dn), key=lambda r: r.amount("dn"))
            yield valves.fault(after, "dn", f"DN{dn:g} between, of {after['body_style']} {after['rating']}: no hole in the sizes")


def _ranges(package: Package) -> _Found:
    """The smallest size is not above the largest."""
    for filed in package.values():
        for row in filed.rows:
            if row.amount("dn_min") > row.amount("dn_max"):
                yield filed.fault(row, "dn_max", f"at least {row['dn_min']}")


_RISING = (  # table, figure, along, within
    ("valves", "mass", "dn", ("body_style", "rating")),
    ("valves", "mass", "pn", ("body_style", "dn")),
    ("valves", "disc_diameter", "dn", ("body_style", "rating")),
    ("valves", "shaft_diameter", "dn", ("body_style", "rating")),
    ("valves", "shaft_diameter", "pn", ("body_style", "dn")),
    ("torque", "torque", "dn", ("pn", "disc_build")),
    ("torque", "torque", "pn", ("dn", "disc_build")),
    ("kv", "kv", "opening", ("dn",)),
    ("kv", "kv", "dn", ("opening",)),
)


def _rising(package: Package) -> _Found:
    """Figures that grow with size, rating or opening must not fall."""
    for table, figure, along, within in _RISING:
        filed = package[table]
        for rows in filed.groups(*within):
            ordered = sorted((r for r in rows if r.amount(along) == r.amount(along)), key=lambda r: r.amount(along))
            for before, row in pairwise(ordered):
                if row.amount(figure) < before.amount(figure):
                    least = f"at least {before[figure]}, which stands at {along} {before[along]} (row {before.number})"
                    yield filed.fault(row, figure, least)


def _full_open(package: Package) -> _Found:
    """Every size of the Kv table has its full-open row."""
    for rows in package["kv"].groups("dn"):
        if not any(row.amount("opening") == 90 for row in rows):
            yield package["kv"].fault(rows[-1], "opening", f"a row at 90 for DN{rows[-1]['dn']}")


def _shells(package: Package) -> _Found:
    """The PN number belongs to the rating, the seat is not above the shell, one side not above two, lugs have threads."""
    filed = package["valves"]
    for row in filed.rows:
        if row["rating"] != f"PN{row.amount('pn'):g}":
            yield filed.fault(row, "pn", f"the number of {row['rating']}")
        if row.amount("seat_rating") > row.amount("pn") * _BAR * _ROUNDING:
            yield filed.fault(row, "seat_rating", f"at most {row['pn']} bar, the rating of the shell")
        if row["body_style"] == "wafer" and row["dead_end_rating"]:
            yield filed.fault(row, "dead_end_rating", "empty: nothing holds a wafer body at the end of a pipe")
        if row.amount("dead_end_rating") > row.amount("seat_rating"):
            yield filed.fault(row, "dead_end_rating", f"at most {row['seat_rating']}, the rating of the seat")
        if row["body_style"] == "lugged" and not row["thread_depth"]:
            yield filed.fault(row, "thread_depth", "the full thread of a lug in mm")


def _cylinder_most(row: Row) -> float:
    """The most a cylinder gives at its highest pressure [N m]; the air of its first degrees works against the spring's end."""
    air, spring = row.amount("air_start") * row.amount("max_pressure"), row.amount("spring_end")
    return air if math.isnan(spring) else max(air - spring, row.amount("spring_start"))


_OUTPUT: Mapping[str, Callable[[Row], float]] = {
    "gears": lambda row: row.amount("torque"),
    "electrics": lambda row: row.amount("torque"),
    "cylinders": _cylinder_most,
}


def _limits() -> dict[str, float]:
    return {r["flange"]: float(r["T_max_Nm"]) for r in tables.read("iso5211_flanges")}


def _top_flanges(package: Package) -> _Found:
    """The top flange of a valve carries its seating torque; that of an operator carries the most that the operator gives."""
    limits = _limits()
    flange = {(r.amount("dn"), r.amount("pn")): r["top_flange"] for r in package["valves"].rows}
    for row in package["torque"].rows:
        name = flange.get((row.amount("dn"), row.amount("pn")), "")
        if row.amount("torque") > limits.get(name, math.inf):
            yield package["torque"].fault(row, "torque", f"at most {limits[name]:g}, the limit of top flange {name} of that size")
    for table, most in _OUTPUT.items():
        for row in package[table].rows:
            drilled = row["top_flange"].split("/")
            if most(row) > max(limits.get(f, 0.0) for f in drilled):
                fit = next((f for f, limit in limits.items() if limit >= most(row)), "none")
                yield package[table].fault(row, "top_flange", f"with {fit} or a larger one for {most(row):.4g} N m")
    for table in (*_OUTPUT, "levers"):
        for row in package[table].rows:
            if set(row["top_flange"].split("/")) - set(limits):
                yield package[table].fault(row, "top_flange", f"{', '.join(limits)}; F05/F07 for both")


def _springs(package: Package) -> _Found:
    """A spring is strongest where it is wound; a double-acting cylinder has none."""
    filed = package["cylinders"]
    for row in filed.rows:
        for column in ("spring_start", "spring_mid", "spring_end"):
            if row["action"] == "sr" and not row[column]:
                yield filed.fault(row, column, "a torque: the operator has a spring")
            if row["action"] == "da" and row[column]:
                yield filed.fault(row, column, "empty: a double-acting cylinder has no spring")
        if row.amount("spring_start") <= row.amount("spring_end"):
            yield filed.fault(row, "spring_start", f"above {row['spring_end']}, what the spring gives at its end")


def _defaults(package: Package) -> _Found:
    """One bush and one coat stand where none is asked."""
    for table in ("bushes", "coats"):
        chosen = [row for row in package[table].rows if row["default"] == "yes"]
        if len(chosen) != 1 and package[table].rows:
            yield package[table].fault((chosen or list(package[table].rows))[-1], "default", f"yes in one row, not in {len(chosen)}")


CHECKS = (
    _keys,
    _words,
    _lists,
    _yields,
    _lengths,
    _sizes,
    _ranges,
    _rising,
    _full_open,
    _shells,
    _top_flanges,
    _springs,
    _defaults,
)
