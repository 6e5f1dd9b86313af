/** What a site may name: crops, fans, burners, weather, each with what it is. Fetched once, and again when it was changed here. */
import { json } from "../api/client";
import type { Catalogue, WeatherRecord } from "../api/types";
import { display } from "../lib/quantity";
import { settings } from "../lib/settings.svelte";
import { type Choice, type Crop, cropChoices, rated } from "./choices";
import type { Schema } from "./schema";
import { fanKind, word } from "./words";

/** Names of the catalogue only where two that are alike must be told apart. */
function told(choices: Choice[]): Choice[] {
  const alike = (one: Choice) =>
    choices.filter((other) => other.says === one.says && other.group === one.group).length;
  return choices.map((one) => (alike(one) > 1 ? { ...one, says: `${one.says} (${one.value})` } : one));
}

export class Library {
  schema = $state.raw<Schema | null>(null);
  catalogue = $state.raw<Catalogue | null>(null);
  crops = $state.raw<Crop[]>([]);
  weather = $state.raw<WeatherRecord[]>([]);
  failure = $state<string | null>(null);

  /** Names that fit a key; `crop` is the one of the lot concerned. */
  choices(key: string, crop: string | undefined): Choice[] {
    switch (key) {
      case "crop":
        return cropChoices(this.crops, "season");
      case "burner":
        return this.burners;
      case "weather":
        return this.weather.map((record) => ({ value: record.name, says: weatherWords(record) }));
      case "relation": {
        const of = this.crops.find((one) => one.id === crop || one.aliases.includes(crop ?? ""));
        return (of?.relations ?? []).map((value, i) => ({
          value,
          says: `${of?.relation_words[i] ?? value} (${value})`,
        }));
      }
      default:
        return [];
    }
  }

  get fans(): Choice[] {
    return told(
      (this.catalogue?.fans ?? []).map((fan) => ({
        value: fan.id,
        says: `${rated(fan.motor_power_w, settings.units)} ${fanKind(fan.kind)}`,
        group: fanKind(fan.kind) + (fan.invented ? " (DEMO, invented)" : ""),
      })),
    );
  }

  get burners(): Choice[] {
    return told(
      (this.catalogue?.burners ?? []).map((burner) => ({
        value: burner.id,
        says: `${display(burner.capacity_w, "heat-rate", settings.units)}, ${word(burner.firing)}`,
        group: word(burner.fuel) + (burner.invented ? " (DEMO, invented)" : ""),
      })),
    );
  }

  async fetchWeather(): Promise<void> {
    this.weather = (await json<WeatherRecord[]>("weather")).body;
  }

  async fetchCatalogue(): Promise<void> {
    this.catalogue = (await json<Catalogue>("catalogue")).body;
  }

  async fetch(): Promise<void> {
    if (this.schema) return;
    try {
      const [schema, crops] = await Promise.all([
        json<Schema>("schema"),
        json<{ crops: Crop[] }>("crops"),
        this.fetchCatalogue(),
        this.fetchWeather(),
      ]);
      this.crops = crops.body.crops;
      this.schema = schema.body;
      this.failure = null;
    } catch (error) {
      this.failure = error instanceof Error ? error.message : String(error);
    }
  }
}

function weatherWords(record: WeatherRecord): string {
  const years = record.from_year === null ? "" : `, ${record.from_year} to ${record.to_year}`;
  return `${record.name}${years}${record.origin === "own" ? ", your own" : ""}`;
}

export const library = new Library();
