/** Answers beside a running fan. */
import type { Narrow, Said, Shapes, Whole } from "../../api/types";

export type Row = Narrow<Whole<Shapes["SheetRowJson"]>, { kind: string | null }>;
export type FieldSheet = Narrow<Whole<Shapes["SheetJson"]>, { rows: Row[] }> & { remarks?: Said[] };
export type Kept = Whole<Shapes["KeptReadings"]>;
export type Visit = Whole<Shapes["VisitJson"]>;
export type Line = Narrow<Whole<Shapes["LineJson"]>, { kind: string }>;
export type Commission = Narrow<Whole<Shapes["CommissionJson"]>, { lines: Line[] }> & { remarks?: Said[] };
export type Measured = Narrow<Whole<Shapes["MeasuredJson"]>, { kind: string }>;
export type Diagnosis = Narrow<Whole<Shapes["DiagnosisJson"]>, { measured: Measured[] }> & {
  remarks?: Said[];
};
export type Cause = Whole<Shapes["CauseJson"]>;
