using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <content>Whether a rule fits the readings it is over.</content>
internal sealed partial class StandardReader
{
    private void CheckKeys(TableReader table, RelationKind kind)
    {
        IReadOnlyList<string> keys = kind.Keys;
        foreach (string key in ByKind.Where(key => table.Has(key) && !keys.Contains(key)))
        {
            _faults.Add(table.Find(key)!.Place, $"a relation of kind {kind.Word} has no {key}", $"of such keys only {string.Join(", ", keys)}");
        }
    }

    private static string[] ByKind { get; } = ["nominal", "within", "above", "below", "min", "max", "any-of", "span", "add", "mixed"];

    private void CheckReadings(TableReader table, RelationKind kind, IReadOnlyList<TomlText> of, List<StepDraft> steps, bool mixed)
    {
        (int least, int most) = kind.Readings;
        if (of.Count > 0 && (of.Count < least || of.Count > most))
        {
            _faults.Add(table.PlaceOf("of"), $"{kind.Word} is over {of.Count} {(of.Count == 1 ? "reading" : "readings")}", most == int.MaxValue ? $"{least} or more" : least == most ? $"exactly {least}" : $"{least} or {most}");
        }

        List<(TomlText Text, StepDraft Step)> read = [];
        foreach (TomlText text in of)
        {
            if (steps.Find(step => step.Id == text.Value) is { } step)
            {
                read.Add((text, step));
            }
        }

        foreach ((TomlText text, StepDraft step) in read)
        {
            CheckReading(kind, text, step);
        }

        foreach ((TomlText text, StepDraft step) in read.Skip(1))
        {
            CheckAlike(kind, read[0].Step, text, step, mixed);
        }
    }

    private void CheckReading(RelationKind kind, TomlText text, StepDraft step)
    {
        if (kind.ReadingsOf == ReadingsOf.Sizes && !step.IsSize)
        {
            _faults.Add(text.Place, $"{FaultList.Quote(text.Value)} reads a gap, not a size", "kind = \"gap\", or a step with reads = \"width\" or \"height\"");
        }
        else if (kind.ReadingsOf == ReadingsOf.Gaps && step.IsSize)
        {
            _faults.Add(text.Place, $"{FaultList.Quote(text.Value)} reads a size, not a gap", kind == RelationKind.Gap ? "kind = \"size\"" : "a step between two things");
        }
    }

    // A gap holds for each of its readings by itself, so they need nothing in common; all others put readings together.
    private void CheckAlike(RelationKind kind, StepDraft first, TomlText text, StepDraft step, bool mixed)
    {
        bool sameWay = kind.TakesSpan;
        if (kind.HoldsForEach || mixed)
        {
            return;
        }

        if ((first.Axis, step.Axis) is (ReadingAxis.Across, ReadingAxis.Upright) or (ReadingAxis.Upright, ReadingAxis.Across))
        {
            _faults.Add(text.Place, $"{FaultList.Quote(text.Value)} is {Words(step.Axis)}, {FaultList.Quote(first.Id ?? string.Empty)} is {Words(first.Axis)}", sameWay ? "two readings the same way" : "readings along one line; or mixed = true, where two edges at an angle are meant");
        }
        else if (sameWay && first.Grows is { } a && step.Grows is { } b && (a.Right * b.Right) + (a.Up * b.Up) < 0.999)
        {
            _faults.Add(text.Place, $"{FaultList.Quote(text.Value)} grows {b.Name}, {FaultList.Quote(first.Id ?? string.Empty)} grows {a.Name}", "two readings that grow the same way");
        }
    }

    private static string Words(ReadingAxis axis) => axis switch
    {
        ReadingAxis.Across => "read across",
        ReadingAxis.Upright => "read up and down",
        ReadingAxis.Slanted => "read at an angle",
        ReadingAxis.Untold => "read some way",
    };
}
