using CaliperStation.Core.Judging;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Correcting;

/// <summary>Which relations hold for the readings at hand, conditions on measured values included.</summary>
public sealed class Applying
{
    private readonly Plan _plan;
    private readonly IReadOnlyDictionary<string, Measured> _readings;
    private readonly Dictionary<string, RelationValue?> _values = [];

    /// <summary>Works it out.</summary>
    /// <param name="plan">What the blouse goes through.</param>
    /// <param name="readings">By step, those that count.</param>
    public Applying(Plan plan, IReadOnlyDictionary<string, Measured> readings)
    {
        _plan = plan;
        _readings = readings;
        Relations = [.. plan.Relations.Where(relation => Conditions.Holds(relation.When, ValueOf) == true)];
    }

    /// <summary>In the order of the file.</summary>
    public IReadOnlyList<Relation> Relations { get; }

    /// <summary>A condition on a relation that is not known, or does not itself apply, is not met yet.</summary>
    private RelationValue? ValueOf(string id)
    {
        if (_values.TryGetValue(id, out RelationValue? value))
        {
            return value;
        }

        _values[id] = null;   // a cycle, which the loader refuses, would end here
        if (_plan.Relations.FirstOrDefault(relation => relation.Id == id) is { } relation
            && relation.Needs.All(_readings.ContainsKey)
            && Conditions.Holds(relation.When, ValueOf) == true)
        {
            value = RelationValue.Of(relation, relation.Of[0], Spans.Of(_plan.Standard, relation, Reading), Reading);
        }

        return _values[id] = value;
    }

    private Measured Reading(string step) => _readings[step];
}
