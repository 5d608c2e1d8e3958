"""Rooms and houses measured."""
