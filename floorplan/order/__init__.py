"""What to buy and what to charge: material list, packs, stock, labour, price, quote."""
