"""voltage_drop over a whole route against pandapower's power flow, which nobody here made."""

import pandapower
import pytest
from jobs import change, house

from ampwright.facts import look_up
from ampwright.rules.gb.voltage_drop import voltage_drop

WARM = {"flat_twin_and_earth": 70, "armoured_90c": 90}


def by_pandapower_v(job):
    """Line-to-neutral drop of the route as a balanced network of three such circuits, go and return in one branch.

    A single-phase circuit of R each way drops 2 R I to neutral, so each branch is given twice the resistance.
    """
    net = pandapower.create_empty_network()
    bus = source = pandapower.create_bus(net, vn_kv=0.4)
    pandapower.create_ext_grid(net, bus)
    for section in job.route:
        r20 = look_up("iec/copper_resistance", "r20_ohm_per_km", size_mm2=section.cable.size_mm2).value
        warm = r20 * (234.5 + WARM[section.cable.kind]) / 254.5
        reached = pandapower.create_bus(net, vn_kv=0.4)
        pandapower.create_line_from_parameters(
            net, bus, reached, length_km=section.length_m.high / 1000, r_ohm_per_km=2 * warm, x_ohm_per_km=1e-9,
            c_nf_per_km=0, max_i_ka=1,
        )  # fmt: skip
        bus = reached
    amperes = 32
    volts_v = 400 / 3**0.5
    for _ in range(6):  # the load takes constant power; adjust it until 32 A flow
        net.load.drop(net.load.index, inplace=True)
        pandapower.create_load(net, bus, p_mw=3 * volts_v * amperes / 1e6)
        pandapower.runpp(net, tolerance_mva=1e-12)
        volts_v = net.res_bus.vm_pu[bus] * 400 / 3**0.5
    assert net.res_line.i_ka.iloc[0] == pytest.approx(0.032, rel=1e-5)
    return (net.res_bus.vm_pu[source] - net.res_bus.vm_pu[bus]) * 400 / 3**0.5


@pytest.mark.parametrize("size_mm2", [6.0, 10.0])
def test_three_sections_agree_with_a_power_flow(size_mm2):
    job = change(house(), {f"route[{number}].cable.size_mm2": size_mm2 for number in range(3)})
    ours_v = [step.value for step in voltage_drop(job).working if step.symbol == "Vd"][-1]

    # the tabulated mV/A/m are rounded: 2.5 % is the tolerance of the tables' own check against physics
    assert ours_v == pytest.approx(by_pandapower_v(job), rel=0.025)
