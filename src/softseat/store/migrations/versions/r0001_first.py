"""First layout. What was issued, and the audit, can be neither changed nor removed: the database itself refuses."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None
FROZEN = ("revisions", "audit")
TABLES = ("keys", "users", "audit", "memory", "revisions", "overrides", "changes", "rows", "enquiries")


def upgrade() -> None:
    """Lay every table, then the guards."""
    for lay in (_enquiries, _rows, _changes, _overrides, _revisions, _memory, _audit, _users, _keys):
        lay()
    for table in FROZEN:
        _freeze(table)


def downgrade() -> None:
    """Take everything back."""
    for table in TABLES:
        op.drop_table(table)
    if op.get_bind().dialect.name == "postgresql":
        op.execute("DROP FUNCTION softseat_frozen()")


def _freeze(table: str) -> None:
    if op.get_bind().dialect.name == "postgresql":
        op.execute(
            "CREATE OR REPLACE FUNCTION softseat_frozen() RETURNS trigger AS "
            "$$ BEGIN RAISE EXCEPTION '% cannot be changed', TG_TABLE_NAME; END $$ LANGUAGE plpgsql"
        )
        op.execute(f"CREATE TRIGGER {table}_frozen BEFORE UPDATE OR DELETE ON {table} FOR EACH ROW EXECUTE FUNCTION softseat_frozen()")
        return
    for act in ("UPDATE", "DELETE"):
        op.execute(
            f"CREATE TRIGGER {table}_no_{act.lower()} BEFORE {act} ON {table} BEGIN SELECT RAISE(ABORT, '{table} cannot be changed'); END"
        )


def _enquiries() -> None:
    op.create_table(
        "enquiries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("customer", sa.String(length=200), nullable=False),
        sa.Column("source_name", sa.String(length=300), nullable=False),
        sa.Column("source", sa.LargeBinary(), nullable=False),
        sa.Column("layout", sa.JSON(), nullable=False),
        sa.Column("reading", sa.JSON(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(length=32), nullable=False),
        sa.Column("made_by", sa.String(length=100), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_enquiries")),
    )


def _rows() -> None:
    op.create_table(
        "rows",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("enquiry_id", sa.Integer(), nullable=False),
        sa.Column("sheet", sa.String(length=200), nullable=False),
        sa.Column("row", sa.Integer(), nullable=False),
        sa.Column("cells", sa.JSON(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["enquiry_id"], ["enquiries.id"], name=op.f("fk_rows_enquiry_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_rows")),
        sa.UniqueConstraint("enquiry_id", "sheet", "row", name=op.f("uq_rows_enquiry_id_sheet_row")),
    )


def _changes() -> None:
    op.create_table(
        "changes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("enquiry_id", sa.Integer(), nullable=False),
        sa.Column("batch", sa.Integer(), nullable=False),
        sa.Column("sheet", sa.String(length=200), nullable=False),
        sa.Column("row", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("before", sa.Text(), nullable=False),
        sa.Column("after", sa.Text(), nullable=False),
        sa.Column("undone", sa.Boolean(), nullable=False),
        sa.Column("made_at", sa.String(length=32), nullable=False),
        sa.Column("made_by", sa.String(length=100), nullable=False),
        sa.ForeignKeyConstraint(["enquiry_id"], ["enquiries.id"], name=op.f("fk_changes_enquiry_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_changes")),
    )
    op.create_index(op.f("ix_changes_enquiry_id_batch"), "changes", ["enquiry_id", "batch"], unique=False)


def _overrides() -> None:
    op.create_table(
        "overrides",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("enquiry_id", sa.Integer(), nullable=False),
        sa.Column("sheet", sa.String(length=200), nullable=False),
        sa.Column("row", sa.Integer(), nullable=False),
        sa.Column("rule", sa.String(length=20), nullable=False),
        sa.Column("decision", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("made_at", sa.String(length=32), nullable=False),
        sa.Column("made_by", sa.String(length=100), nullable=False),
        sa.Column("withdrawn_at", sa.String(length=32), nullable=False),
        sa.Column("withdrawn_by", sa.String(length=100), nullable=False),
        sa.ForeignKeyConstraint(["enquiry_id"], ["enquiries.id"], name=op.f("fk_overrides_enquiry_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_overrides")),
    )
    op.create_index(op.f("ix_overrides_enquiry_id"), "overrides", ["enquiry_id"], unique=False)


def _revisions() -> None:
    op.create_table(
        "revisions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("enquiry_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("engine", sa.String(length=50), nullable=False),
        sa.Column("maker", sa.String(length=200), nullable=False),
        sa.Column("items", sa.LargeBinary(), nullable=False),
        sa.Column("pack", sa.LargeBinary(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("made_at", sa.String(length=32), nullable=False),
        sa.Column("made_by", sa.String(length=100), nullable=False),
        sa.ForeignKeyConstraint(["enquiry_id"], ["enquiries.id"], name=op.f("fk_revisions_enquiry_id"), ondelete="RESTRICT"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_revisions")),
        sa.UniqueConstraint("enquiry_id", "number", name=op.f("uq_revisions_enquiry_id_number")),
    )


def _memory() -> None:
    op.create_table(
        "memory",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("customer", sa.String(length=200), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("key", sa.String(length=200), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("made_at", sa.String(length=32), nullable=False),
        sa.Column("made_by", sa.String(length=100), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_memory")),
        sa.UniqueConstraint("customer", "kind", "key", name=op.f("uq_memory_customer_kind_key")),
    )


def _audit() -> None:
    op.create_table(
        "audit",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(length=32), nullable=False),
        sa.Column("made_by", sa.String(length=100), nullable=False),
        sa.Column("what", sa.String(length=50), nullable=False),
        sa.Column("enquiry_id", sa.Integer(), nullable=True),
        sa.Column("detail", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_audit")),
    )
    op.create_index(op.f("ix_audit_enquiry_id"), "audit", ["enquiry_id"], unique=False)


def _users() -> None:
    op.create_table(
        "users",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=100), nullable=False),
        sa.Column("role", sa.String(length=20), nullable=False),
        sa.Column("password", sa.String(length=300), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("made_at", sa.String(length=32), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_users")),
        sa.UniqueConstraint("name", name=op.f("uq_users_name")),
    )


def _keys() -> None:
    op.create_table(
        "keys",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("user_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=10), nullable=False),
        sa.Column("hash", sa.String(length=64), nullable=False),
        sa.Column("label", sa.String(length=100), nullable=False),
        sa.Column("made_at", sa.String(length=32), nullable=False),
        sa.Column("ends_at", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["user_id"], ["users.id"], name=op.f("fk_keys_user_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_keys")),
        sa.UniqueConstraint("hash", name=op.f("uq_keys_hash")),
    )
