"""Parts of a drip zone: their models, the catalogue of generic ones, and what is known of materials and fittings."""
