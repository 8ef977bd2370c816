"""Farms of a few seeds for the tests."""

from tests.traditions.made import Houses

HOUSES = Houses("farm")
built, house, cells = HOUSES.built, HOUSES.house, HOUSES.cells
