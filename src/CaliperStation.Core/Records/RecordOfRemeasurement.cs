using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Records;

/// <summary>Makes the record of a signed remeasurement, and says what follows from it.</summary>
/// <remarks>
/// It has comparisons and no verdicts: what conforms is the first record's to say. It is verified when every step agrees; of a practice
/// record, or with a reading that no person took, it is a practice record itself and never verified.
/// </remarks>
public static class RecordOfRemeasurement
{
    /// <summary>The record.</summary>
    /// <exception cref="ArgumentException">It is not signed, or <paramref name="first"/> is not the record it looks back at.</exception>
    public static Record Make(Remeasurement remeasurement, Record first, ChainPlace place, RecordEvents? events = null)
    {
        DateTimeOffset closed = remeasurement.State.Signed?.At ?? throw new ArgumentException("A remeasurement becomes a record by its signature.", nameof(remeasurement));
        IReadOnlyList<RecordComparison> comparisons = Compare(remeasurement, first);
        bool practice = first.IsPractice || remeasurement.State.IsPractice;
        return new Record(
            Record.CurrentSchema,
            place.Chain,
            place.Number,
            place.Previous,
            remeasurement.Started.Sitting,
            remeasurement.Started.Kind,
            first.Id,
            remeasurement.Started.Tag,
            remeasurement.Started.Hand,
            remeasurement.State.Signed.Initials,
            first.Standard,
            first.Judging,
            first.Answers,
            remeasurement.Started.At,
            closed,
            [.. remeasurement.Started.Steps.Select(step => Reading(remeasurement, step.Step))],
            [],
            [],
            [],
            comparisons,
            remeasurement.Started.Seed,
            comparisons.All(comparison => comparison.Agrees) && !practice)
        {
            Hands = RecordOfSitting.HandsOf(remeasurement.State, remeasurement.State.Signed.Initials),
            Practice = practice,
            Events = events,
            Confirmed = RecordOfSitting.Answers(remeasurement.State.Confirmed),
            NotSo = RecordOfSitting.Answers(remeasurement.State.NotSo),
            Withdrawn = RecordOfSitting.Withdrawals(remeasurement.State, remeasurement.State.Signed.Initials),
        };
    }

    /// <summary>Each step against the first record, in the order of work.</summary>
    /// <exception cref="ArgumentException"><paramref name="first"/> is not the record it looks back at.</exception>
    public static IReadOnlyList<RecordComparison> Compare(Remeasurement remeasurement, Record first)
    {
        if (first.Id != remeasurement.Started.OfRecord)
        {
            throw new ArgumentException("That is another record.", nameof(first));
        }

        return
        [
            .. remeasurement.Started.Steps.Select(step => Agreement.Compare(
                step,
                Agreement.Measured(first, first.Readings.First(reading => reading.Step == step.Step)),
                remeasurement.State.Readings[step.Step].Measured(first.Judging))),
        ];
    }

    /// <summary>What the steps that do not agree invalidate, as if their items had been moved.</summary>
    /// <param name="plan">The plan of the first record.</param>
    /// <param name="first">The first record.</param>
    /// <param name="comparisons">Each step against it.</param>
    public static Invalidated InvalidatedBy(Plan plan, Record first, IReadOnlyList<RecordComparison> comparisons)
    {
        HashSet<string> moved = [.. comparisons.Where(comparison => !comparison.Agrees).Select(comparison => comparison.Step)];
        HashSet<string> holds = [.. comparisons.Where(comparison => comparison.Agrees).Select(comparison => comparison.Step)];
        IEnumerable<string> items = moved.Select(plan.FindStep).OfType<Step>().Select(step => step.Of).Distinct();
        List<string> steps = [.. StaleReadings.After(plan, items).Where(step => !moved.Contains(step) && !holds.Contains(step) && first.Readings.Any(reading => reading.Step == step))];
        HashSet<string> judged = [.. first.Verdicts.Select(verdict => verdict.Relation)];
        return new Invalidated(first.Tag, steps, [.. StaleReadings.LostJudgements(plan, moved.Concat(steps)).Where(judged.Contains)]);
    }

    private static RecordReading Reading(Remeasurement remeasurement, string id)
    {
        Step step = remeasurement.State.Plan.FindStep(id)!;
        return new RecordReading(Plain(step.Id), Plain(step.Of), Plain(step.From), RecordOfSitting.Takes(remeasurement.State, id, remeasurement.State.Signed!.Initials));
    }

    /// <summary>A record holds plain text only, so that it may be shown anywhere.</summary>
    private static string Plain(string text) => PrintableText.Escape(text);
}

/// <summary>What can no longer be trusted of a record.</summary>
/// <param name="Tag">The blouse.</param>
/// <param name="Steps">Recorded readings on or from what moved, those just measured again left out; in the order of work.</param>
/// <param name="Relations">Recorded judgements that hang on them or on what moved, in the order of the file.</param>
public sealed record Invalidated(string Tag, IReadOnlyList<string> Steps, IReadOnlyList<string> Relations);
