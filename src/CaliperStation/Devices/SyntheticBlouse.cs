using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Devices;

/// <summary>A blouse that is not there: the true gap of each step, well within every rule, the same for the same seed.</summary>
/// <remarks>
/// Starts from the drawing, then lets each rule in turn pull its readings to what it asks for, until they agree; then
/// displaces each reading by less than its rules leave over. One item may lie off at first; it follows the pins that are moved.
/// </remarks>
internal sealed class SyntheticBlouse
{
    private const int Sweeps = 100;
    private const double MaxDisplacement = 150_000;   // nanometres; a careful hand's placing
    private const double UsedSlack = 0.8;

    private static readonly Length Off = Length.FromTicks(2);

    private readonly Plan _plan;
    private readonly string? _misplaced;
    private Length _right;   // where the misplaced item lies, from where it should
    private Length _up;
    private readonly Dictionary<string, Length> _gaps;
    private readonly double _uncertainty;
    private readonly double _guard;

    /// <summary>A blouse for a plan.</summary>
    /// <param name="plan">What the blouse carries.</param>
    /// <param name="seed">Another seed is another blouse.</param>
    /// <param name="resolution">One count of the caliper it will be measured with.</param>
    /// <param name="misplaced">An item that lies two ticks too far to the viewer's right until its pins are moved, or null.</param>
    internal SyntheticBlouse(Plan plan, ulong seed, Length resolution, string? misplaced = null)
    {
        (_plan, _misplaced, _right) = (plan, misplaced, misplaced is null ? Length.Zero : Off);
        JudgingSettings judging = plan.Standard.Judging;
        _uncertainty = Budget.Of(judging, resolution, 1).Combined;
        _guard = judging.Rule == DecisionRule.Guarded ? Conformance.GuardFactor(judging.Confidence) : 0;
        CoatLayout layout = new(plan);
        _gaps = plan.Steps.ToDictionary(
            step => step.Id,
            step => Nominals.Known(plan.Standard, step.Id) ?? (layout.Drawn(step) is { } drawn && drawn >= Length.HalfTick ? drawn : Length.Inch));   // less than that is no gap a caliper takes
        bool moving = true;
        for (int sweep = 0; sweep < Sweeps && moving; sweep++)
        {
            moving = false;
            foreach (SyntheticRule rule in Rules())
            {
                moving |= rule.Pull(_gaps);
            }
        }

        Displace(new SeededNoise(seed), resolution);
    }

    /// <summary>The true gap of a step; 1 in for a step that is not of this plan.</summary>
    internal Length Gap(string step) => _gaps.GetValueOrDefault(step, Length.Inch) + Shift(step);

    /// <summary>The pins of an item were moved so.</summary>
    internal void Move(ItemMove move)
    {
        if (move.Item == _misplaced)
        {
            int pins = move.Pins.Count;
            _right += Length.FromNanometres(move.Pins.Sum(pin => pin.Right.Nanometres) / pins);
            _up += Length.FromNanometres(move.Pins.Sum(pin => pin.Up.Nanometres) / pins);
        }
    }

    private Length Shift(string id)
    {
        if (_misplaced is null || _plan.FindStep(id) is not { Grows: { } grows } step || (step.Of == _misplaced) == (step.From == _misplaced))
        {
            return Length.Zero;
        }

        Length along = Length.FromNanometres((grows.Right * _right.Nanometres) + (grows.Up * _up.Nanometres), Rounding.HalfEven);
        return step.Of == _misplaced ? along : -along;
    }

    private void Displace(SeededNoise noise, Length resolution)
    {
        Dictionary<string, double> most = _plan.Steps.ToDictionary(step => step.Id, _ => MaxDisplacement);
        double display = 1.5 * resolution.Nanometres;   // half a count of rounding, one of flicker
        foreach (SyntheticRule rule in Rules())
        {
            double share = Math.Max(0, (UsedSlack * rule.Slack(_guard) / rule.Steepness) - display);
            foreach (string step in rule.Steps)
            {
                most[step] = Math.Min(most[step], share);
            }
        }

        foreach ((string step, double limit) in most)
        {
            _gaps[step] += Length.FromNanometres(limit * noise.For(step).Signed(0), Rounding.TowardZero);
        }
    }

    /// <summary>The rules that apply to the gaps as they are now; a condition may look at a value that is still moving.</summary>
    private IEnumerable<SyntheticRule> Rules()
    {
        foreach (Relation relation in _plan.Relations)
        {
            if (Conditions.Holds(relation.When, ValueOf) == false)
            {
                continue;
            }

            foreach (string step in relation.JudgesEach ? relation.Of : [relation.Of[0]])
            {
                yield return new SyntheticRule(relation, step, Value(relation, step), Read);
            }
        }
    }

    private RelationValue? ValueOf(string id) =>
        _plan.Relations.FirstOrDefault(relation => relation.Id == id) is { } relation ? Value(relation, relation.Of[0]) : null;

    private RelationValue Value(Relation relation, string step) =>
        relation.Value(step, Spans.Of(_plan.Standard, relation, Read), Read);

    private Measured Read(string step) => new(ExactLength.From(_gaps[step]), _uncertainty);
}
