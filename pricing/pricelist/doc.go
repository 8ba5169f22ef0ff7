package pricelist
