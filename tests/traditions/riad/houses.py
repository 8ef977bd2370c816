"""Riads of a few seeds for the tests."""

from tests.traditions.made import Houses

HOUSES = Houses("riad")
built, house, cells = HOUSES.built, HOUSES.house, HOUSES.cells
