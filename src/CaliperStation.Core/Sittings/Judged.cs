using CaliperStation.Core.Judging;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Sittings;

/// <summary>All judgements of a state, conditions on measured values included.</summary>
internal sealed class Judged
{
    private readonly SittingState _state;
    private readonly Dictionary<string, Measured?> _measured = [];
    private readonly Dictionary<string, RelationValue?> _values = [];

    internal Judged(SittingState state)
    {
        _state = state;
        All = [.. state.Plan.Relations
            .Where(relation => Conditions.Holds(relation.When, ValueOf) == true)
            .SelectMany(relation => Judge.Relation(state.Plan.Standard, relation, Measured))];
    }

    /// <summary>In the order of the file.</summary>
    internal IReadOnlyList<Judgement> All { get; }

    /// <summary>Whether a step is to be read: null when that hangs on a value not known yet.</summary>
    internal bool? Applies(Step step) => Conditions.Holds(step.When, ValueOf) switch
    {
        true => Wanted(step),
        { } no => no,
        null => null,
    };

    /// <summary>A step that only serves rules which do not apply need not be read.</summary>
    private bool? Wanted(Step step)
    {
        bool unknown = false;
        bool served = false;
        foreach (Relation relation in _state.Plan.Relations.Where(relation => relation.Needs.Contains(step.Id)))
        {
            served = true;
            switch (Conditions.Holds(relation.When, ValueOf))
            {
                case true:
                    return true;
                case null:
                    unknown = true;
                    break;
            }
        }

        return served ? (unknown ? null : false) : true;
    }

    private Measured? Measured(string step)
    {
        if (!_measured.TryGetValue(step, out Measured? measured))
        {
            _measured[step] = measured = _state.Measured(step);
        }

        return measured;
    }

    /// <summary>The value a condition looks at; null while it is not known, or when its own rule does not apply.</summary>
    private RelationValue? ValueOf(string id)
    {
        if (_values.TryGetValue(id, out RelationValue? value))
        {
            return value;
        }

        _values[id] = null;   // a cycle, which the loader refuses, would end here
        if (_state.Plan.Relations.FirstOrDefault(relation => relation.Id == id) is { } relation
            && relation.Needs.All(step => Measured(step) is not null)
            && Conditions.Holds(relation.When, ValueOf) == true)
        {
            Measured Known(string step) => Measured(step)!.Value;
            value = RelationValue.Of(relation, relation.Of[0], Spans.Of(_state.Plan.Standard, relation, Known), Known);
        }

        return _values[id] = value;
    }
}
