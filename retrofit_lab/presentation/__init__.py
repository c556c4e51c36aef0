"""Everything a person sees: state, figures, tables, wording, controls, dashboards and the report."""
