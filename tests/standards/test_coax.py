"""The coaxial cable tables against the published figures in tests/reference/coax.yaml, whole tables."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from layout.standards import coax

REFERENCE = yaml.safe_load((Path(__file__).parent.parent / "reference" / "coax.yaml").read_text(encoding="utf-8"))
ROWS = REFERENCE["attenuation_150MHz"]["rows"]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]}-{row[2]}")
def test_attenuation_is_never_below_the_published(row):
    """Each published figure at 150 MHz is met or exceeded: the higher of two contradicting figures counts."""
    assert coax.kind(row[0]).db_per_100m >= row[2]


def test_attenuation_is_always_a_published_figure():
    """No figure is our own: each stands in the published table, for the same size."""
    published = {}
    for name, _, db, *_ in ROWS:
        published.setdefault(name.split()[0].split("/")[0], set()).add(db)
    for kind in coax.kinds():
        assert kind.db_per_100m in published[kind.name.split()[0].split("/")[0]]


def test_table_is_carried_over_whole():
    """The product's rows are the published rows, cable by cable."""
    from layout.standards.tables import rows

    assert [[r["cable"], r["db_per_100m"]] for r in rows("coax", "attenuation_150MHz")] == [[r[0], r[2]] for r in ROWS]


def test_conversion_of_the_published_columns():
    """Loss per 100 m in dB is 3.28084 times dB per 100 ft, to the last printed digit."""
    for row in ROWS:
        assert row[2] == pytest.approx(row[1] * 3.28084, abs=0.06)


@pytest.mark.parametrize(("mhz", "factor"), REFERENCE["frequency_scaling"]["factors_from_150MHz"].items())
def test_frequency_factors(mhz, factor):
    """The skin-effect factors are the published ones."""
    assert coax.scaling(mhz) == pytest.approx(factor, abs=5e-5)


@pytest.mark.parametrize(("name", "db"), REFERENCE["frequency_scaling"]["examples_156_8MHz_db_per_100m"].items())
def test_attenuation_on_channel_16(name, db):
    """At 156.8 MHz the lowest published row scales to the worked figure."""
    lowest = min(row[2] for row in ROWS if row[0] == name)
    assert lowest * coax.scaling(156.8) == pytest.approx(db, abs=0.005)


def test_far_frequencies_are_refused():
    """Outside the band of the rule there is no figure, and no guess."""
    for mhz in (27.0, 406.0, 2400.0):
        with pytest.raises(ValueError, match="outside 100 to 200 MHz"):
            coax.scaling(mhz)


def test_limits_and_connector():
    """Connector loss and 3 dB are the published ones; a share of power turns into the published dB."""
    limits = REFERENCE["limits"]
    assert coax.connector_loss_db() == REFERENCE["connector_loss"]["db_per_connection_150MHz"]
    assert coax.most_loss_db() == limits["commonly_accepted_max_db"]
    kept = 1 - limits["offshore_racing_max_power_loss_percent"] / 100
    assert coax.loss_of_share_db(kept) == pytest.approx(limits["offshore_racing_max_db"]["value"], abs=5e-4)
    assert coax.share_of_power(3.0) == pytest.approx(0.501, abs=5e-4)
    assert coax.share_of_power(1.0) == pytest.approx(0.794, abs=5e-4)


def test_unknown_kind_names_the_known_ones():
    """A kind that the table lacks is an error that lists those it has."""
    with pytest.raises(KeyError, match=r"no cable 'RG-9'.*RG-213"):
        coax.kind("RG-9")


def test_diameters_are_the_published_ones():
    """Outer diameters are those of tests/reference/conduit.yaml where it has the size."""
    conduit = yaml.safe_load((Path(__file__).parent.parent / "reference" / "conduit.yaml").read_text(encoding="utf-8"))
    published = {
        name: float(row["od"])
        for row in conduit["coax_and_data_od"]["rows"]
        for name in row["kind"].split(" / ")
        if name.startswith("RG-")
    }
    assert published
    for name, od in published.items():
        assert coax.kind(name).outer_diameter_mm == od


@pytest.mark.parametrize(("mhz", "factor"), [(100.0, 0.8165), (200.0, 1.1547)])
def test_ends_of_the_band_are_in_it(mhz, factor):
    """sqrt(100 / 150) and sqrt(200 / 150); 0.1 % beyond there is no figure."""
    assert coax.scaling(mhz) == pytest.approx(factor, abs=5e-5)
    with pytest.raises(ValueError, match="outside"):
        coax.scaling(mhz * (0.999 if mhz < 150 else 1.001))


@pytest.mark.parametrize("share", [0.0, -0.1, 1.001, 1.5])
def test_no_such_share(share):
    """No share of the power is none, less, or more than all."""
    with pytest.raises(ValueError, match="share"):
        coax.loss_of_share_db(share)


def test_all_of_the_power_is_no_loss():
    """0 dB leaves all, and half is 3.01 dB."""
    assert coax.loss_of_share_db(1.0) == 0.0
    assert coax.loss_of_share_db(0.5) == pytest.approx(3.0103, abs=1e-4)


def test_bends():
    """5 x diameter at rest, 10 x where it moves (coax makers' practice, from memory)."""
    assert coax.bend_radius_mm(4.95) == pytest.approx(24.75)
    assert coax.bend_radius_mm(4.95, moves=True) == pytest.approx(49.5)
