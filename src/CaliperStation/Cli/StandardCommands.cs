using System.Text;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Files;

namespace CaliperStation.Cli;

/// <summary><c>standard check</c> and <c>standard show</c>.</summary>
internal static class StandardCommands
{
    /// <summary>Checks files; every fault of every file in one go.</summary>
    internal static int Check(IReadOnlyList<string> files, bool json, TextWriter output)
    {
        List<CheckedFile> checkedFiles = [];
        foreach (string file in files)
        {
            byte[] bytes = GivenFile.ReadBytes(file);
            checkedFiles.Add(new CheckedFile(file, Encoding.UTF8.GetString(bytes), StandardText.Load(bytes)));
        }

        output.Write(json ? StandardCheck.Json(checkedFiles) : StandardCheck.Text(checkedFiles));
        return checkedFiles.TrueForAll(file => file.Load.IsStandard) ? ExitCode.Good : ExitCode.BadFile;
    }

    /// <summary>Shows the order of steps of a standard.</summary>
    internal static int Show(string? file, IReadOnlyList<string> answers, bool json, bool markdown, TextWriter output)
    {
        LoadedStandard loaded = file is null ? StandardSource.Demonstration() : StandardSource.FromFile(file);
        Plan plan = Plan.For(loaded.Standard, GivenAnswers.Of(loaded.Standard, answers));
        output.Write(json ? StandardTable.Json(plan) : markdown ? StandardTable.Markdown(plan) : StandardTable.Text(plan));
        return ExitCode.Good;
    }
}
