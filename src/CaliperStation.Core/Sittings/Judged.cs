using CaliperStation.Core.Judging;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Sittings;

/// <summary>All judgements of a state, conditions on measured values included.</summary>
/// <remarks>
/// A condition on a rule that this blouse does not go by (its answers left the rule out, or its own condition fails) does
/// not hold: else its steps would be asked for ever and never judged. A reading of a step that does not apply is kept
/// but does not count. Conditions that look at each other, which the loader refuses, stay open.
/// </remarks>
internal sealed class Judged
{
    private readonly SittingState _state;
    private readonly Dictionary<string, Measured?> _measured = [];
    private readonly Dictionary<string, RelationValue?> _values = [];
    private readonly Dictionary<string, bool?> _applying = [];
    private ILookup<string, Relation>? _served;

    internal Judged(SittingState state)
    {
        _state = state;
        double guardFactor = Judge.GuardFactor(state.Plan.Standard.Judging);
        Func<string, Measured?> measured = Measured;
        All = [.. state.Plan.Relations
            .Where(relation => Holds(relation.When) == true)
            .SelectMany(relation => Judge.Relation(state.Plan.Standard, relation, guardFactor, measured))];
    }

    /// <summary>In the order of the file.</summary>
    internal IReadOnlyList<Judgement> All { get; }

    /// <summary>Whether a step is to be read: null when that hangs on a value not known yet.</summary>
    internal bool? Applies(Step step) => Holds(step.When) switch
    {
        true => Wanted(step),
        { } no => no,
        null => null,
    };

    /// <summary>The steps whose reading moves the value of a judgement: of a row only the largest and the smallest.</summary>
    internal IEnumerable<string> Deciding(Judgement judgement) =>
        Value(judgement.Relation, judgement.Steps[0]).Gradient.Where(term => term.PerNanometre != 0).Select(term => term.Step).DefaultIfEmpty(judgement.Steps[0]);

    /// <summary>A step that only serves rules which do not apply need not be read.</summary>
    private bool? Wanted(Step step)
    {
        _served ??= _state.Plan.Relations.SelectMany(relation => relation.Needs.Select(step => (step, relation))).ToLookup(pair => pair.step, pair => pair.relation);
        bool unknown = false;
        foreach (Relation relation in _served[step.Id])
        {
            switch (relation.HoldsForEach ? Holds(relation.When) : Applies(relation))
            {
                case true:
                    return true;
                case null:
                    unknown = true;
                    break;
            }
        }

        return unknown ? null : !_state.Plan.Standard.Relations.Any(relation => relation.Needs.Contains(step.Id));
    }

    private Measured? Measured(string step)
    {
        if (!_measured.TryGetValue(step, out Measured? measured))
        {
            _measured[step] = measured = _state.Plan.FindStep(step) is { } known && Holds(known.When) == true ? _state.Measured(step) : null;
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
            applies = (applies, Holds(_state.Plan.FindStep(step)?.When)) switch
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
        return _values[id] = Find(id) is { } relation && ReadFor(relation).All(step => Measured(step) is not null) && Holds(relation.When) == true
            ? Value(relation, relation.Of[0])
            : null;
    }

    private static IEnumerable<string> ReadFor(Relation relation) => relation.HoldsForEach ? relation.AddSteps.Prepend(relation.Of[0]) : relation.Needs;

    private RelationValue Value(Relation relation, string each) => RelationValue.Of(relation, each, Spans.Of(_state.Plan.Standard, relation, Known), Known);

    private Measured Known(string step) => Measured(step)!.Value;

    private Relation? Find(string id) => _state.Plan.Relations.FirstOrDefault(relation => relation.Id == id);
}
