woad combine "Red Gate" --mood gloomy
