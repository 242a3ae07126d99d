using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Judging;

/// <summary>Whether further takes can bring a borderline judgement to a verdict.</summary>
/// <remarks>
/// Only the hand's share of the uncertainty shrinks with the number of takes (see <see cref="Budget"/>); what the caliper does wrong and
/// what its display hides stay. So the guard band has a floor, and a value nearer to a limit than that stays borderline however often it
/// is read. The question is asked with the mean as it stands: takes may still change it.
/// </remarks>
public static class FurtherTakes
{
    /// <summary>How many takes of one step can be asked of a person. Our own choice, no source.</summary>
    public const int MaxOfOneStep = 6;

    /// <summary>True when some number of takes up to <see cref="MaxOfOneStep"/> of each deciding step would bring the verdict to within or outside, were the mean to stay.</summary>
    /// <param name="evaluation">The evaluation that gave the judgement.</param>
    /// <param name="judgement">A borderline judgement of it.</param>
    /// <param name="budget">The budget of a step's reading as it stands.</param>
    public static bool Help(RelationEvaluation evaluation, Judgement judgement, Func<string, Budget> budget)
    {
        bool more = false;
        Measured Read(string step)
        {
            Budget now = budget(step);
            int takes = Math.Max(now.Takes, MaxOfOneStep);
            more |= takes > now.Takes && now.Hand > 0;
            return (now with { Takes = takes }).Measure(evaluation.Reading(step).Value);
        }

        Dictionary<string, Measured> most = judgement.Relation.Needs.Where(step => evaluation.Counts(step)).ToDictionary(step => step, Read);
        Relation one = judgement.Relation.JudgesEach ? judgement.Relation with { Of = [judgement.Steps[0]] } : judgement.Relation;
        return more && Judge.Relation(evaluation.Plan.Standard, one, step => most.TryGetValue(step, out Measured measured) ? measured : null)
            .Any(then => then.Verdict != Verdict.Borderline);
    }
}
