/** What a site may name: crops, fans, burners, weather. Fetched once. */
import { json } from "../api/client";
import type { WeatherRecord } from "../api/types";
import type { Schema } from "./schema";

interface Crop {
  id: string;
  name: string;
  grain: boolean;
}

interface Listed {
  id: string;
  kind?: string;
  motor_power_w?: number;
  invented: boolean;
}

export class Library {
  schema = $state.raw<Schema | null>(null);
  fans = $state.raw<{ name: string; says: string }[]>([]);
  failure = $state<string | null>(null);
  #crops = $state.raw<string[]>([]);
  #burners = $state.raw<string[]>([]);
  weather = $state.raw<WeatherRecord[]>([]);

  /** Names that fit a key. */
  choices(key: string): string[] {
    switch (key) {
      case "crop":
        return this.#crops;
      case "burner":
        return this.#burners;
      case "weather":
        return this.weather.map((record) => record.name);
      default:
        return [];
    }
  }

  async fetchWeather(): Promise<void> {
    this.weather = (await json<WeatherRecord[]>("weather")).body;
  }

  async fetch(): Promise<void> {
    if (this.schema) return;
    try {
      const [schema, crops, catalogue, weather] = await Promise.all([
        json<Schema>("schema"),
        json<{ crops: Crop[] }>("crops"),
        json<{ fans: Listed[]; burners: Listed[] }>("catalogue"),
        json<WeatherRecord[]>("weather"),
      ]);
      this.#crops = crops.body.crops.filter((crop) => crop.grain).map((crop) => crop.id);
      this.fans = catalogue.body.fans.map(({ id, invented }) => ({
        name: id,
        says: invented ? `${id} (invented)` : id,
      }));
      this.#burners = catalogue.body.burners.map((burner) => burner.id);
      this.weather = weather.body;
      this.schema = schema.body;
      this.failure = null;
    } catch (error) {
      this.failure = error instanceof Error ? error.message : String(error);
    }
  }
}

export const library = new Library();
