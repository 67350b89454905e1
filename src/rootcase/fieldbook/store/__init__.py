"""The store: events that are only ever added, weather by day, contacts that can be erased."""

from rootcase.fieldbook.store.store import Store, open_store

__all__ = ["Store", "open_store"]
