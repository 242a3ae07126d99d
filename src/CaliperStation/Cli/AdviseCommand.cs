using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary><c>advise</c>: displacements, pin moves and the fewest re-pins for a file of readings, without a bench.</summary>
internal static class AdviseCommand
{
    /// <summary>Ends with 0 when everything that could be judged is within, else 1.</summary>
    internal static int Run(string standardFile, string readingsFile, IReadOnlyList<string> answers, bool json, TextWriter output)
    {
        LoadedStandard loaded = StandardSource.FromFile(standardFile);
        Plan plan = Plan.For(loaded.Standard, GivenAnswers.Of(loaded.Standard, answers));
        string text = GivenFile.ReadText(readingsFile);
        ReadingsFile readings = ReadingsFile.Read(plan, text);
        if (readings.Faults.Count > 0)
        {
            throw new StationException(ExitCode.BadFile, FaultText.All(readingsFile, text, readings.Faults));
        }

        CorrectingSettings hand = CorrectingSettings.For(plan.Standard, Settings.Load(StorePaths.OnThisMachine(null).Settings).SmallestMove);
        Advice advice = Advise.For(plan, readings.Readings, hand, plan.Relations.Select(relation => relation.Id).ToHashSet());   // a file has no further takes: what is borderline is mended too
        output.Write(json ? AdviceJson.All(advice) : AdviceText.All(plan, advice));
        return new RelationEvaluation(plan, readings.Readings).All.All(judgement => judgement.Verdict == Verdict.Within)
            ? ExitCode.Good
            : ExitCode.NotWithin;
    }
}
