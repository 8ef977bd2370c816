"""Atrium houses of a few seeds for the tests."""

from tests.traditions.made import Houses

HOUSES = Houses("domus")
built, house, cells = HOUSES.built, HOUSES.house, HOUSES.cells
