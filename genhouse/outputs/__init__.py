"""What a house is handed over as: arrays, mesh, bill, pictures, plans, document, guide."""
