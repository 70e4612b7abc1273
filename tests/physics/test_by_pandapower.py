"""The same circuits solved by a power-flow library: drop along a route, fault current, broken PEN."""

import cmath
import math

import pandapower as pp
import pandapower.shortcircuit as sc
import pytest

from ampwright.physics import conductors, demand, earthing, faults

NOMINAL_V = 230.0
LINES_V = NOMINAL_V * math.sqrt(3)
COPPER_PER_K = 0.00393


def source():
    net = pp.create_empty_network(f_hz=50)
    bus = pp.create_bus(net, vn_kv=LINES_V / 1000)
    pp.create_ext_grid(net, bus, s_sc_max_mva=1e9, s_sc_min_mva=1e9, rx_max=0.1, rx_min=0.1, r0x0_max=0.1, x0x_max=1.0)
    net.ext_grid["r0x0_min"], net.ext_grid["x0x_min"] = 0.1, 1.0
    return net, bus


def add_line(net, from_bus, r_ohm, r0_ohm):
    to_bus = pp.create_bus(net, vn_kv=LINES_V / 1000)
    pp.create_line_from_parameters(
        net, from_bus, to_bus, 1.0, r_ohm, 1e-9, 0.0, 1.0, r0_ohm_per_km=r0_ohm, x0_ohm_per_km=1e-9,
        c0_nf_per_km=0.0, endtemp_degree=20.0,
    )  # fmt: skip
    return to_bus


def test_drop_along_a_route_of_three_sections():
    # tails, a sub-main with a tap-off and the charge point's own circuit, as one phase of three alike: a line
    # of twice the one-way resistance carries the same current and loses the same volts as out and back
    sections = [(0.727, 3, 4000), (1.15, 12, 2000), (3.08, 25, 7000)]
    net, bus = source()
    ohms = []
    for r20_ohm_per_km, length_m, load_w in sections:
        ohm = conductors.resistance_ohm(
            r20_ohm_per_km=r20_ohm_per_km, length_m=length_m, at_c=70, alpha20_per_k=COPPER_PER_K
        )
        ohms.append(ohm)
        bus = add_line(net, bus, r_ohm=2 * ohm, r0_ohm=2 * ohm)
        pp.create_load(net, bus, p_mw=3 * load_w / 1e6)
    pp.runpp(net, numba=False, tolerance_mva=1e-12)
    currents_a = [1000 * ka for ka in net.res_line.i_ka]

    drop_v = sum(
        conductors.single_phase_drop_v(one_way_ohm=ohm, current_a=current_a)
        for ohm, current_a in zip(ohms, currents_a, strict=True)
    )

    assert NOMINAL_V * (1 - net.res_bus.vm_pu.iloc[-1]) == pytest.approx(drop_v, rel=1e-5)
    end_a = demand.single_phase_a(power_w=7000, voltage_v=NOMINAL_V * net.res_bus.vm_pu.iloc[-1])
    assert currents_a[-1] == pytest.approx(end_a, rel=1e-5)


def test_drop_between_lines_of_a_three_phase_circuit():
    net, bus = source()
    end = add_line(net, bus, r_ohm=0.09, r0_ohm=0.36)
    pp.create_load(net, end, p_mw=0.022)
    pp.runpp(net, numba=False, tolerance_mva=1e-12)
    line_voltage_v = LINES_V * net.res_bus.vm_pu.iloc[-1]

    current_a = demand.three_phase_a(power_w=22000, line_voltage_v=line_voltage_v)

    assert 1000 * net.res_line.i_ka.iloc[0] == pytest.approx(current_a, rel=1e-5)
    assert LINES_V - line_voltage_v == pytest.approx(
        conductors.three_phase_drop_v(one_way_ohm=0.09, current_a=current_a), rel=1e-4
    )


@pytest.mark.parametrize(("case", "tolerance", "factor_ratio"), [("max", 10, 1.1), ("max", 6, 1.05), ("min", 6, 0.95)])
def test_fault_currents_by_iec_60909(case, tolerance, factor_ratio):
    # an earth fault meets (2 R + R0) / 3, so a line of R1 with R0 = R1 + 3 R2 has the loop R1 + R2
    r1_ohm, r2_ohm = 0.35, 0.22
    net, bus = source()
    add_line(net, bus, r_ohm=r1_ohm, r0_ohm=r1_ohm + 3 * r2_ohm)

    sc.calc_sc(net, fault="3ph", case=case, lv_tol_percent=tolerance)
    three_a = 1000 * net.res_bus_sc.ikss_ka.iloc[-1]
    sc.calc_sc(net, fault="2ph", case=case, lv_tol_percent=tolerance)
    two_a = 1000 * net.res_bus_sc.ikss_ka.iloc[-1]
    sc.calc_sc(net, fault="1ph", case=case, lv_tol_percent=tolerance)
    earth_a = 1000 * net.res_bus_sc.ikss_ka.iloc[-1]

    loop = faults.loop_ohm(ze_ohm=0, r1_ohm=r1_ohm, r2_ohm=r2_ohm)
    assert faults.fault_current_a(voltage_v=NOMINAL_V, loop_ohm=loop, factor_ratio=factor_ratio) == pytest.approx(
        earth_a, rel=1e-4
    )
    assert faults.three_phase_a(line_voltage_v=LINES_V, line_ohm=r1_ohm, factor_ratio=factor_ratio) == pytest.approx(
        three_a, rel=1e-4
    )
    assert faults.three_phase_from_two_lines_a(line_to_line_a=two_a) == pytest.approx(three_a, rel=1e-4)


def broken_pen(electrode_ohm):
    """A feeder of no resistance but 3 RE in the zero sequence: its neutral ends at the electrode."""
    net, bus = source()
    end = add_line(net, bus, r_ohm=1e-6, r0_ohm=3 * electrode_ohm)
    pp.create_asymmetric_load(net, end, type="wye")
    return net


def solve(net, loads_w):
    for phase, load_w in zip("abc", loads_w, strict=True):
        net.asymmetric_load.loc[0, f"p_{phase}_mw"] = load_w / 1e6
    pp.runpp_3ph(net, numba=False)
    row = net.res_bus_3ph.iloc[-1]
    return [cmath.rect(row[f"vm_{p}_pu"], math.radians(row[f"va_{p}_degree"])) for p in "abc"]


def plain_resistances(net, loads_w):
    """Line to PEN voltages, per unit: the library holds power, so feed it the power each voltage leaves."""
    powers_w = [0.3 * load_w for load_w in loads_w]
    for _ in range(60):
        lines = solve(net, powers_w)
        wanted_w = [load_w * abs(v) ** 2 for load_w, v in zip(loads_w, lines, strict=True)]
        if max(abs(w - p) for w, p in zip(wanted_w, powers_w, strict=True)) < 0.01:
            return lines
        powers_w = [(w + p) / 2 for w, p in zip(wanted_w, powers_w, strict=True)]
    raise AssertionError("the library's loads did not settle to plain resistances")


@pytest.mark.parametrize(
    ("loads_w", "electrode_ohm"),
    [([7400, 500, 500], 1), ([7400, 2000, 1000], 2), ([3000, 1000, 1000], 5)],
)
def test_broken_pen_by_three_phase_power_flow(loads_w, electrode_ohm):
    lines = plain_resistances(broken_pen(electrode_ohm), loads_w)
    case = {"loads_w": loads_w, "nominal_v": NOMINAL_V, "electrode_ohm": electrode_ohm}

    assert earthing.open_pen_touch_v(**case) == pytest.approx(NOMINAL_V * abs(sum(lines) / 3), abs=0.01)
    assert earthing.open_pen_lines_v(**case) == pytest.approx([NOMINAL_V * abs(v) for v in lines], abs=0.01)


def test_loads_that_hold_their_power_are_worse_than_we_say():
    # the limit that the docstring owns up to: 35.66 V by the library at constant power, 25.89 V by ours
    lines = solve(broken_pen(1), [7400, 500, 500])

    held_v = NOMINAL_V * abs(sum(lines) / 3)

    assert held_v == pytest.approx(35.66, abs=0.01)
    assert earthing.open_pen_touch_v(loads_w=[7400, 500, 500], nominal_v=NOMINAL_V, electrode_ohm=1) < held_v
