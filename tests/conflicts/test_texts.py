"""Texts of an asker, read by the real fact reader with the demo shop: what does not fit together, and what does.

Catalogue values are those of knowledge/shop/vehicles (invented). Trade values name their source beside the case.
"""

from __future__ import annotations

import pytest

from tests.conflicts.conftest import Read

CONFLICTS = [
    # catalogue
    ("It's a 2003 Merrow Sprite and it will not charge.", "year_outside_production"),
    ("1998 petrol Ridge, hard to start", "year_outside_production"),
    ("I think it is a 2003 Sprite", "year_outside_production"),
    ("My petrol Courier, no, the Drover, petrol, 2015", "powertrain_against_model"),
    ("Tarvik Ridge 2010, needs a charger", "make_against_model"),
    ("Make: Merrow\nModel: Tern\nno spark", "make_against_model"),
    ("my 2004 Lark is 48 volt", "year_with_pack_voltage"),
    ("My Drover is 48 volt and slow", "voltage_against_model"),
    ("my Lark Li has flooded batteries", "battery_chemistry_against_model"),
    ("Lark 1999 with a rocker switch, no drive", "year_with_direction_switch"),
    ("my Omni 6 has a mechanical lever", "direction_switch_against_model"),
    ("inductive throttle on my Courier", "throttle_sensor_against_model"),
    ("2012 Ospren Ridge with a series motor", "year_with_controller_type"),
    ("AC motor in my Merrow Dot", "controller_type_against_model"),
    ("Sepex controller, 1999 Lark", "year_with_controller_type"),
    ("Everything is original on my 2009 Lark, four 12 volt batteries", "battery_count_against_model"),
    ("2009 Lark, four 12 volt batteries, the original pack", "battery_count_against_model"),
    # batteries: K-02 to K-05, worked out
    ("36 volt cart with six 8 volt batteries", "voltage_against_batteries"),
    ("it has 5 batteries and is 48 volt", "voltage_against_count"),
    ("36 volt cart, 8 volt batteries each", "voltage_against_unit"),
    ("48 volt, 4 batteries with 4 filler caps each", "caps_against_voltage"),
    ("the seller swore they are sealed batteries, but there are six little caps each", "sealed_with_caps"),
    ("petrol cart, 48 volt pack, will not start", "petrol_with_pack"),
    ("petrol Wren and my 36 volt charger hums", "petrol_with_pack"),
    # charging: B-84, an equalising charger goes to 62 V, sixteen lithium cells end at 58.4 V
    ("my 48 volt pack, 36 volt charger", "charger_against_pack"),
    ("the charger is a 36 volt one and the pack is 48 volts", "charger_against_pack"),
    ("My 2012 Lark came with a 72 volt charger", "charger_against_pack"),
    ("the charger says 48 and the pack is 36 volts", "charger_against_pack"),
    ("the charger is marked 72, the pack is 48 volts", "charger_against_pack"),
    ("My Lark Li, the charger has an equalise mode", "charger_against_chemistry"),
    ("I have a lithium pack in it now and still use the lead acid charger", "charger_against_chemistry"),
    ("gel batteries and I ran the equalise cycle", "charger_against_chemistry"),
    ("flooded batteries and a lithium charger", "charger_against_chemistry"),
    # readings
    ("six 6 volt batteries read 6.3 6.3 6.2 6.3 6.3", "readings_against_count"),
    ("Six 8 volt batteries. Each battery by itself reads 8.4 but the pack reads 33.5 volts", "readings_against_pack"),
    ("Batteries read 8.4 8.4 8.5 8.4 8.4 8.4. The pack reads 42.1 volts.", "readings_against_pack"),
    ("My 36 volt pack reads 50.4 volts at rest", "reading_above_pack"),  # 2.7 V a cell, from memory
    ("six 6 volt batteries, they read 8.4 8.4 8.4 8.4 8.4 8.4", "reading_above_battery"),
    # B-05: a flat 36 V pack rests at 35.67 V ("State Of Charge - SOC Measurement")
    ("36V cart with six 6V batteries, charged overnight, pack reads 35.2 V at rest", "full_against_rest_voltage"),
    ("2012 Lark, fully charged, pack reads 47.9 volts at rest", "full_against_rest_voltage"),
    # drive and running gear
    ("bone stock 2012 Lark does 25 mph", "speed_beyond_stock"),
    ("2010 Ridge, stock controller, it is a 500 amp controller", "current_against_stock"),
    ("23 inch tyres on my 2010 Lark, it is not lifted", "tyre_against_lift"),
    ("18x8.50-8 tyres on 10 inch wheels", "tyre_against_wheel"),  # S-04
    ("M12x1.25 wheel nuts on my Lark", "stud_against_model"),  # T-06
    ("the studs are 1/2-20 on my 2010 Ridge", "stud_against_model"),  # T-05
    ("I put spacers on the rear and the front tyres rub", "spacer_away_from_rub"),
    ("Front spacers are fitted but the rear tyres rub", "spacer_away_from_rub"),
]

CALM = [
    "It's a 2016 Merrow Sprite and it will not charge.",
    "2003 petrol Ridge, hard to start",
    "I think it is a 2015 Sprite",
    "2020 Lark, lithium, slow",
    "Tarvik Lark 2010, needs a charger",
    "Nuts for my Ospren please. I still have a box of them here from the old Lark, will those do?",
    "my 2010 Lark is 48 volt",
    "my 2004 Lark is 36 volt with a lever",
    "Can I put a 48 volt pack in my 1999 Lark?",
    "I want to go to 72 volts with my Ridge",
    "My 1999 Lark, converted to lithium, 48 volt now",
    "2004 Lark, converted to 48, does 19",
    "my neighbour has a 2003 Sprite. Mine is a 2015 Sprite",
    "not a 2003 Sprite, it is 2015",
    "my Drover is 72 volt, ac motor",
    "2012 Ridge, aftermarket controller, ac motor",
    "2009 Lark, eight new 6 volt batteries fitted",
    "48 volt cart with six 8 volt batteries",
    "36 volt cart with six 6 volt batteries",
    "72 volts, 12 batteries",
    "it has 6 batteries and is 48 volt",
    "48 volt lithium, 1 battery",
    "48 volt, 6 batteries with 4 filler caps each",
    "sealed batteries, no caps at all",
    "petrol cart, 12 volt battery flat",
    "not petrol, it is a 48 volt pack",
    "my 48 volt pack, 48 volt charger",
    "My Lark Li and its lithium charger",
    "flooded batteries, ran the equalise cycle last night",
    "I want to go lithium, can I keep the lead acid charger?",
    "six 6 volt batteries read 6.3 6.3 6.2 6.3 6.3 6.3",
    "Batteries read 8.4 8.4 8.5 8.4 8.4 8.4. The pack reads 50.5 volts.",
    "My 36 volt pack reads 37.9 volts at rest",
    "48 volt pack reads 58 volts on charge",
    "2012 Lark, fully charged, pack reads 50.4 volts at rest",
    "2012 Lark, fully charged, pack drops to 44 volts under load",
    "2012 Lark, fully charged last night, 44 volts on the pack when I floor it",
    "My 2022 Lark Li was fully charged and reads 51.9 volts at rest",
    "2012 Lark with flat batteries, pack reads 47.2 volts at rest",
    "2012 Lark does 16 mph",
    "2012 Lark with a speed chip does 24 mph",
    "2012 Lark used to do 25 mph",
    "2010 Ridge with an upgraded controller, 500 amp controller",
    "2010 Ridge, stock controller, 275 amp controller",
    "22 inch tyres on my 2010 Lark with a 6 inch lift",
    "20 inch tyres on my 2010 Lark, no lift",
    "can I fit 23 inch tyres on my 2010 Lark without a lift?",
    "18x8.50-8 tyres on 8 inch wheels",
    "1/2-20 wheel nuts on my Lark",
    "I put spacers on the front and the front tyres rub",
    "Nothing moves, no lights, no click.",
]


@pytest.mark.parametrize(("text", "conflict"), CONFLICTS)
def test_names_what_does_not_fit(conflicts_in: Read, text: str, conflict: str) -> None:
    assert [found.id for found in conflicts_in(text)] == [conflict]


@pytest.mark.parametrize("text", CALM)
def test_is_calm_where_all_fits(conflicts_in: Read, text: str) -> None:
    assert [found.says for found in conflicts_in(text)] == []


def test_there_are_at_least_as_many_calm_texts() -> None:
    assert len(CALM) >= len(CONFLICTS)
