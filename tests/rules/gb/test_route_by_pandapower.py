"""Whole routes by a power-flow library: the earth fault at the far end, and the drop on one and three phases."""

import math

import pandapower as pp
import pandapower.shortcircuit as sc
import pytest
from intake import printed
from jobs import house

from ampwright.physics.faults import fault_current_a
from ampwright.reading import WORST, assumed, measured
from ampwright.rules.gb.parts.loop import earth_loop_ohm
from ampwright.rules.gb.voltage_drop import voltage_drop
from ampwright.working import Verdict, Working

U0_V = 230.0
LINES_V = U0_V * math.sqrt(3)
# ohm/km at 20 C: copper of IEC 60228, and armour of 2 x 6 mm2, at most 7.0 (BS 5467 as reprinted in
# "Guide to the Wiring Regulations", appendix 4, table 4.4)
R20 = {6: 3.08, 2.5: 7.41}
ARMOUR_6 = 7.0
COPPER, STEEL = 0.00393, 0.0045
# the house of jobs.py: metres and degrees of its three sections
ROUTE = [(5, 70), (20, 90), (3, 90)]


def warm(r20_ohm_per_km, length_m, at_c, per_k):
    return r20_ohm_per_km / 1000 * length_m * (1 + per_k * (at_c - 20))


def network(ohms):
    """Lines in a row, each (R1, R0) in ohm, from a source without impedance."""
    net = pp.create_empty_network(f_hz=50)
    bus = pp.create_bus(net, vn_kv=LINES_V / 1000)
    pp.create_ext_grid(net, bus, s_sc_max_mva=1e9, s_sc_min_mva=1e9, rx_max=0.1, rx_min=0.1, r0x0_max=0.1, x0x_max=1.0)
    net.ext_grid["r0x0_min"], net.ext_grid["x0x_min"] = 0.1, 1.0
    for r1, r0 in ohms:
        to_bus = pp.create_bus(net, vn_kv=LINES_V / 1000)
        pp.create_line_from_parameters(net, bus, to_bus, 1.0, r1, 1e-9, 0.0, 1.0, r0_ohm_per_km=r0,
                                       x0_ohm_per_km=1e-9, c0_nf_per_km=0.0, endtemp_degree=20.0)  # fmt: skip
        bus = to_bus
    return net, bus


def solved_drop_v(one_way_ohm, current_a, ways):
    """Volts lost line to neutral when the end draws `current_a`; two ways are out and back, as one of three alike."""
    net, end = network([(ways * ohm, ways * ohm) for ohm in one_way_ohm])
    load = pp.create_load(net, end, p_mw=0.0)
    power_w = U0_V * current_a
    for _ in range(30):
        net.load.loc[load, "p_mw"] = 3 * power_w / 1e6
        pp.runpp(net, numba=False, tolerance_mva=1e-12)
        power_w *= current_a / (1000 * net.res_line.i_ka.iloc[-1])
    assert 1000 * net.res_line.i_ka.iloc[-1] == pytest.approx(current_a, rel=1e-9)
    return U0_V * (1 - net.res_bus.vm_pu.iloc[-1])


def test_drop_on_one_phase():
    # the book rounds mV/A/m to two figures: 7.3 and 7.9 for 2 x 3.08 x 1.1965 = 7.370 and 2 x 3.08 x 1.2751 = 7.855
    ohms = [warm(R20[6], length_m, at_c, COPPER) for length_m, at_c in ROUTE]

    assert printed(voltage_drop(house()), "Vd") == pytest.approx(solved_drop_v(ohms, 32.0, ways=2), rel=0.01)


def test_drop_on_three_phases():
    # armoured throughout, 6.8 mV/A/m between lines for sqrt(3) x 3.08 x 1.2751 = 6.802
    job = house({"charge_point.phases": 3, "route[0].cable.kind": "armoured_90c"})
    ohms = [warm(R20[6], length_m, 90, COPPER) for length_m, _ in ROUTE]
    by_library_v = math.sqrt(3) * solved_drop_v(ohms, 32.0, ways=1)

    assert printed(voltage_drop(job), "Vd") == pytest.approx(by_library_v, rel=0.001)


def test_a_range_is_judged_by_its_long_end():
    # under the garden 20 to 30 m: 1.168 + 30 x 7.9 x 0.032 + 0.7584 = 9.5104 V at the most; 40 to 60 m is 12.0384 V
    # at the least, and 11.5 V may be
    near = voltage_drop(house({"route[1].length_m": assumed(20, 30)}))

    assert near.verdict is Verdict.MET
    assert printed(near, "Vd") == pytest.approx(9.5104)
    assert voltage_drop(house({"route[1].length_m": assumed(40, 60)})).verdict is Verdict.NOT_MET


@pytest.mark.parametrize("ze_ohm", [0.2, 0.35, 0.8])
def test_loop_and_earth_fault(ze_ohm):
    # an earth fault meets (2 R + R0) / 3: with R0 = R1 + 3 R2 that is R1 + R2. Section 1 returns by 2.5 mm2
    # copper, the others by the armour, 10 K cooler than the cores
    r1 = [warm(R20[6], length_m, at_c, COPPER) for length_m, at_c in ROUTE]
    r2 = [warm(R20[2.5], 5, 70, COPPER), warm(ARMOUR_6, 20, 80, STEEL), warm(ARMOUR_6, 3, 80, STEEL)]
    net, _ = network([(ze_ohm, ze_ohm), *((a, a + 3 * b) for a, b in zip(r1, r2, strict=True))])
    sc.calc_sc(net, fault="1ph", case="min", lv_tol_percent=6)
    by_library_a = 1000 * net.res_bus_sc.ikss_ka.iloc[-1]

    zs_ohm = earth_loop_ohm(house({"supply.ze_ohm": measured(ze_ohm)}), WORST, Working())

    # the library's lowest voltage is 0.95 of the nominal, as Cmin
    assert fault_current_a(voltage_v=U0_V, loop_ohm=zs_ohm, factor_ratio=0.95) == pytest.approx(by_library_a, rel=1e-4)
