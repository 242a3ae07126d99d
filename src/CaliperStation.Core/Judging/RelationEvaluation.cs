using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Judging;

/// <summary>The one answer to which relations of a plan apply, and what they say, conditions on measured values included.</summary>
/// <remarks>
/// The sitting, the advice, the commands and the record all ask here, so that none of them can differ from another.
/// A condition on a rule that this blouse does not go by (its answers left the rule out, or its own condition fails) does
/// not hold: else its steps would be asked for ever and never judged. A reading of a step that does not apply is kept
/// but does not count. Conditions that look at each other, which the loader refuses, stay open.
/// </remarks>
public sealed class RelationEvaluation
{
    private readonly Func<string, Measured?> _read;
    private readonly Dictionary<string, Measured?> _measured = [];
    private readonly Dictionary<string, RelationValue?> _values = [];
    private readonly Dictionary<string, bool?> _applying = [];
    private ILookup<string, Relation>? _served;

    /// <summary>Works everything out.</summary>
    /// <param name="plan">What the blouse goes through.</param>
    /// <param name="read">What a step was read as; null when it was not, or is stale.</param>
    public RelationEvaluation(Plan plan, Func<string, Measured?> read)
    {
        Plan = plan;
        _read = read;
        Relations = [.. plan.Relations.Where(relation => Holds(relation.When) == true)];
        All = [.. Relations.SelectMany(relation => Judge.Relation(plan.Standard, relation, Counting))];
    }

    /// <summary>The same from readings by step; steps that the plan does not have are passed over.</summary>
    public RelationEvaluation(Plan plan, IReadOnlyDictionary<string, Measured> readings)
        : this(plan, step => readings.TryGetValue(step, out Measured measured) ? measured : null)
    {
    }

    /// <summary>What the blouse goes through.</summary>
    public Plan Plan { get; }

    /// <summary>The relations whose condition is known to hold, in the order of the file.</summary>
    public IReadOnlyList<Relation> Relations { get; }

    /// <summary>Every judgement that can be given, in the order of the file.</summary>
    public IReadOnlyList<Judgement> All { get; }

    /// <summary>The readings that count, by step: those of steps that are known to apply.</summary>
    public IReadOnlyDictionary<string, Measured> Readings => field ??= Plan.Steps
        .Where(step => Applies(step) == true && Counting(step.Id) is not null)
        .ToDictionary(step => step.Id, step => Known(step.Id));

    /// <summary>True when a step has a reading, and its own condition holds.</summary>
    internal bool Counts(string step) => Counting(step) is not null;

    /// <summary>The reading of a step that <see cref="Counts"/>.</summary>
    internal Measured Reading(string step) => Known(step);

    /// <summary>Whether a step is to be read: null when that hangs on a value not known yet.</summary>
    public bool? Applies(Step step) => Holds(step.When) switch
    {
        true => Wanted(step),
        { } no => no,
        null => null,
    };

    /// <summary>The steps whose reading moves the value of a judgement: of a row only the largest and the smallest.</summary>
    public IEnumerable<string> Deciding(Judgement judgement) =>
        Value(judgement.Relation, judgement.Steps[0]).Gradient.Where(term => term.PerNanometre != 0).Select(term => term.Step).DefaultIfEmpty(judgement.Steps[0]);

    /// <summary>A step that only serves rules which do not apply need not be read.</summary>
    private bool? Wanted(Step step)
    {
        _served ??= Plan.Relations.SelectMany(relation => relation.Needs.Select(step => (step, relation))).ToLookup(pair => pair.step, pair => pair.relation);
        bool unknown = false;
        foreach (Relation relation in _served[step.Id])
        {
            switch (relation.JudgesEach ? Holds(relation.When) : Applies(relation))
            {
                case true:
                    return true;
                case null:
                    unknown = true;
                    break;
            }
        }

        return unknown ? null : !Plan.Standard.Relations.Any(relation => relation.Needs.Contains(step.Id));
    }

    /// <summary>The reading of a step whose own condition holds.</summary>
    private Measured? Counting(string step)
    {
        if (!_measured.TryGetValue(step, out Measured? measured))
        {
            _measured[step] = measured = Plan.FindStep(step) is { } known && Holds(known.When) == true ? _read(step) : null;
        }

        return measured;
    }

    private bool? Holds(Condition? condition)
    {
        if (condition is null)
        {
            return true;
        }

        bool never = condition.Parts.OfType<ConditionPart.ValueIs>().Any(part => Find(part.Relation) is not { } relation || Applies(relation) == false);
        return never ? false : Conditions.Holds(condition, ValueOf);
    }

    /// <summary>Whether a rule can come to a value on this blouse.</summary>
    private bool? Applies(Relation relation)
    {
        if (_applying.TryGetValue(relation.Id, out bool? applies))
        {
            return applies;
        }

        _applying[relation.Id] = null;   // where a cycle would end
        applies = Holds(relation.When);
        foreach (string step in ReadFor(relation))
        {
            applies = (applies, Holds(Plan.FindStep(step)?.When)) switch
            {
                (false, _) or (_, false) => false,
                (true, true) => true,
                _ => null,
            };
        }

        return _applying[relation.Id] = applies;
    }

    /// <summary>The value a condition looks at, of several gaps the first; null while it is not known.</summary>
    private RelationValue? ValueOf(string id)
    {
        if (_values.TryGetValue(id, out RelationValue? value))
        {
            return value;
        }

        _values[id] = null;   // where a cycle would end
        return _values[id] = Find(id) is { } relation && ReadFor(relation).All(step => Counting(step) is not null) && Holds(relation.When) == true
            ? Value(relation, relation.Of[0])
            : null;
    }

    private static IEnumerable<string> ReadFor(Relation relation) => relation.JudgesEach ? relation.AddSteps.Prepend(relation.Of[0]) : relation.Needs;

    private RelationValue Value(Relation relation, string each) => relation.Value(each, Spans.Of(Plan.Standard, relation, Known), Known);

    private Measured Known(string step) => Counting(step)!.Value;

    private Relation? Find(string id) => Plan.Relations.FirstOrDefault(relation => relation.Id == id);
}
