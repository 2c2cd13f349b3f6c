"""SQLite as Django has it, with the whole numbers that PostgreSQL takes: SQLite itself would keep longer
ones, with which no studio could move. Forms say so beside the field."""

from django.db.backends.base.operations import BaseDatabaseOperations
from django.db.backends.sqlite3 import base
from django.db.backends.sqlite3.operations import DatabaseOperations as OnSQLite


class DatabaseOperations(OnSQLite):
    integer_field_range = BaseDatabaseOperations.integer_field_range


class DatabaseWrapper(base.DatabaseWrapper):
    ops_class = DatabaseOperations
